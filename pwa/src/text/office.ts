/** The sentences of the dispatcher's screens: see `checks.ts`. */
import { catalogue } from "virtual:catalogue/office";
import { addSentences } from ".";

addSentences(catalogue);
