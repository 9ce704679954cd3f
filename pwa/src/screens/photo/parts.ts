/** All that the screens need of photos, in one chunk that comes late. */
import "./photo.css";

export { Add } from "./add";
export { followBegun } from "./begun";
export { InHand } from "./in_hand";
export { logWith } from "./keep";
export { Pictures } from "./pictures";
export { Waiting } from "./waiting";
