import { useEffect, useState } from "preact/hooks";
import { api } from "../book";
import type { components } from "../contract";

type Customer = components["schemas"]["Customer"];

/** Whose bike it is, asked of the service and kept nowhere; without a signal, or a name, nothing is shown. */
export function CustomerName({ id, before = "" }: { id: string; before?: string }) {
  const [name, setName] = useState<string | null>(null);
  useEffect(() => {
    let over = false;
    api.get<{ customers: Customer[] }>("/customers").then(({ customers }) => over || setName(customers.find((c) => c.id === id)?.name ?? null), () => undefined);
    return () => {
      over = true;
    };
  }, [id]);
  return name === null ? null : <p class="s mt">{before}<a href={`#/workshop/customers/${id}`}>{name}</a></p>;
}
