/** Forms and pages that the first picture does without, in one file of the build. */
export { BikeForm } from "./bike/form";
export { JobForm } from "./bike/job_form";
export { Handover } from "./handover/handover";
export { Settings } from "./settings/settings";
