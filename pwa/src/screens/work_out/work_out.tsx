import { catalogue } from "../../book";
import type { Bike, Job } from "../../nouns";
import { NotHere, Waiting } from "../missing";
import { useWork } from "../work";
import { CageSheet } from "./cage";
import { ChainSheet } from "./chain";
import { GearsSheet } from "./gears";
import { HangerAlone } from "./hanger";
import { WorkOutIndex } from "./index_page";
import { NoiseSheet } from "./noise";
import { placeOf, type Place } from "./place";
import { RubSheet } from "./rub";
import { TorqueSheet } from "./torque";
import { WearSheet } from "./wear";

interface Props { bike?: Bike; job?: Job; rest: string[] }

/** What can be worked out at the bike, for a job or by itself. */
export function WorkOut({ bike, job, rest }: Props) {
  return bike && job ? <InJob bike={bike} job={job} rest={rest} /> : <Opened place={placeOf(catalogue.value!, null, rest)} tool={rest[0]} />;
}

function InJob({ bike, job, rest }: Required<Props>) {
  const work = useWork(bike, job);
  return work ? <Opened place={placeOf(work.cat, work, rest)} tool={rest[0]} /> : <Waiting />;
}

function Opened({ place, tool }: { place: Place; tool: string | undefined }) {
  const asked = (quantity: string) => !!place.work?.steps.some((s) => [...s.quantities, ...s.also].some((q) => q.quantity.id === quantity));
  switch (tool) {
    case undefined: return <WorkOutIndex work={place.work} />;
    case "hanger": return <HangerAlone place={place} />;
    case "chain": return <ChainSheet place={place} />;
    case "wear": return <WearSheet place={place} />;
    case "torque": return <TorqueSheet place={place} />;
    case "noise": return <NoiseSheet place={place} />;
    case "gears": return <GearsSheet place={place} />;
    case "rub": return asked("rub_in_steps") ? <RubSheet place={place} /> : <NotHere what="page" />;
    case "cage": return asked("cage_alignment") ? <CageSheet place={place} /> : <NotHere what="page" />;
    default: return <NotHere what="page" />;
  }
}
