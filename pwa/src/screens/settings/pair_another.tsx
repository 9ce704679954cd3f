import { useState } from "preact/hooks";
import { api, Problem, session } from "../../book";
import { time } from "../../look/number";
import { people } from "../people";

/** The owner's phone makes the one-time code that pairs another one. */
export function PairAnother() {
  const [code, setCode] = useState<{ code: string; expires_at: string; name: string } | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  if (session.value?.role !== "owner") return null;
  const make = async (id: string, name: string) => {
    try {
      setCode({ ...(await api.post<{ code: string; expires_at: string }>(`/people/${id}/codes`, {})), name });
      setProblem(null);
    } catch (error) {
      setProblem(error instanceof Problem && error.status ? error.message : "This needs a signal: the code is made by the service.");
    }
  };
  return (
    <>
      <h2>Pair another phone</h2>
      <p class="s">Whose phone is it? Its code works once, for ten minutes.</p>
      <div class="leaves mt">{people.value.map((p) => <button type="button" key={p.id} onClick={() => void make(p.id, p.name)}>{p.name}</button>)}</div>
      {code && <p class="note mt" role="status">For {code.name}: <b class="code">{code.code}</b>, until {time(code.expires_at)}. On the other phone open <b>{location.origin}/#/pair</b> and type it.</p>}
      {problem && <p class="note stop mt" role="alert">{problem}</p>}
    </>
  );
}
