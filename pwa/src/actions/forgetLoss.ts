/** The person has read what happened to this phone's store. */
export { forgetLoss } from "../local/lost";
