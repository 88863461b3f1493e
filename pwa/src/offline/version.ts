export { APP_VERSION } from "../local/app_version";
