//! The fixed words of the sheet, all in one place: another language is another file like this one.

/// BCP 47 tag of the language of these words.
pub const LANGUAGE: &str = "en";

pub const ORDER_NO: &str = "Order no.";
pub const SERIAL_NO: &str = "Registration / serial no.";
pub const ODOMETER: &str = "km / hours";
pub const TECHNICIAN: &str = "Technician";
pub const DATE: &str = "Date";

pub const BEFORE: &str = "Before you start";
pub const WHY_THIS_JOB: &str = "Why this job";
pub const RULE_OUT_FIRST: &str = "Rule out first";
pub const TIME: &str = "Time";
pub const PEOPLE: &str = "People";
pub const WHO: &str = "Who";
pub const LEFT_IS: &str = "Left and right";
pub const CHANGED: &str = "New in this revision";
pub const DEFERENCE: &str =
    "Where the maker's data, local codes or your shop's rules differ from this sheet, they come first.";
pub const LICENSED: &str = "Work on these needs a licence in many places; follow your local codes:";
pub const WASTE: &str = "Used fluids go to a licensed waste handler:";

pub const HAVE_READY: &str = "Have ready";
pub const NEW_PARTS: &str = "New parts";
pub const MAY_BE_NEEDED: &str = "May be needed";
pub const FLUIDS: &str = "Fluids";
pub const SUPPLIES: &str = "Supplies";
pub const TOOLS: &str = "Tools";
pub const TRAYS: &str = "Trays";
pub const TEMPORARY: &str = "Goes in, comes out again";
pub const NONE: &str = "none";

pub const STEP: &str = "Step";
pub const VALUE: &str = "Value";
pub const SIGN: &str = "Sign";
pub const CONTINUED: &str = "continued";
pub const STAGE: &str = "Stage";
pub const GOES_ON: &str = "continues on the next page";
pub const WITNESS: &str = "witness";

pub const LAST_LOOK: &str = "Last look";
pub const LAST_LOOK_LINE: &str = "everything this job touched";
pub const SIGN_OFF: &str = "Sign-off";
pub const DONE_BY: &str = "Done by · date · time";
pub const CHECKED_BY: &str = "Checked by · date · time";
pub const DEVIATIONS: &str = "Deviations: what was different, and who allowed it";

pub const LATER: &str = "Later";
pub const LATER_LINE: &str = "cut off and hand on";
pub const DUE: &str = "Due";
pub const DONE: &str = "Done by";

pub const REVISION: &str = "revision";
pub const PAGE: &str = "page";
pub const OF: &str = "of";
pub const PRINTED: &str = "Printed";
pub const CHECK_REVISION: &str = "Check that this is the current revision.";

pub const DANGER: &str = "DANGER";
pub const WARNING: &str = "WARNING";
pub const CAUTION: &str = "CAUTION";
pub const NOTICE: &str = "NOTICE";
pub const STOP: &str = "STOP";
pub const OPEN_NOW: &str = "Stands open now, make it safe:";
pub const TRY: &str = "Try";
pub const FIGURE: &str = "figure";
