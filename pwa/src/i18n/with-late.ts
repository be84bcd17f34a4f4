/** Imported by every part that loads late: its words come with it. */
import { addEnglish } from "./index";
import { late } from "./late";

addEnglish(late);
