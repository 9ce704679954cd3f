import { bikes } from "./book";

export function App() {
  return <main><h1>Bikes</h1><p>{bikes.value.length}</p></main>;
}
