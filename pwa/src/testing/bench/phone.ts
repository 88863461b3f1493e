/** What is measured: the app's own code from the write path to the wire, without its screens. */
export { addPhoto } from "../../actions/addPhoto";
export { createJob } from "../../actions/createJob";
export { planVisit } from "../../actions/planVisit";
export { raiseIssue } from "../../actions/raiseIssue";
export { adoptDevice } from "../../local/device";
export { enterSession } from "../../local/session";
export { storeOf } from "../../local/store";
export { uuid7 } from "../../local/uuid7";
export { pull } from "../../sync/pull";
export { push } from "../../sync/push";
export { exchangePhotos, exchangeWords } from "../../sync/round";
export { lineFor, startSync } from "../../sync/start";
