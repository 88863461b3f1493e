export { decimalSeparator, parseEntry } from "./entry";
export { formatBytes, formatNumber, formatQuantity } from "./number";
export {
  daysFrom,
  formatDay,
  formatDayTime,
  formatDuration,
  formatNearDay,
  formatTime,
  formatWeekday,
  type Moment,
} from "./time";
