/** The crew's screens. */
export function App() {
  return <h1>Rowcall</h1>;
}
