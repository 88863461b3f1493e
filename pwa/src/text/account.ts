/** The sentences of signing in and of what a person sees of this device: see `checks.ts`. */
import { catalogue } from "virtual:catalogue/account";
import { addSentences } from ".";

addSentences(catalogue);
