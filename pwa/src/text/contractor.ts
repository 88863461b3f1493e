/** The sentences of the contractor's screens: see `checks.ts`. */
import { catalogue } from "virtual:catalogue/contractor";
import { addSentences } from ".";

addSentences(catalogue);
