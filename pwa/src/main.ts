import { h, render } from "preact";
import { App } from "./screens/app.tsx";

const place = document.getElementById("app");
if (place) render(h(App, {}), place);
