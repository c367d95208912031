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
pub const TIME_AND_PEOPLE: &str = "Time · people";
pub const PEOPLE_TITLE: &str = "People";
pub const PERSON: &str = "person";
pub const PEOPLE: &str = "people";
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
pub const OPEN_NOW: &str = "Not at home now, make it safe.";
pub const TRY: &str = "Try";
pub const FIGURE: &str = "figure";

// Words of the printed sentence.
pub const THE: &str = "the";
pub const A: &str = "a";
pub const OLD: &str = "old";
pub const NEW: &str = "new";
pub const AND: &str = "and";
pub const OR: &str = "or";
pub const NOT: &str = "not";
pub const NO: &str = "no";
pub const YES: &str = "yes";
pub const TO: &str = "to";
pub const IN: &str = "in";
pub const AT: &str = "at";
pub const FOR: &str = "for";
pub const FROM: &str = "from";
pub const INTO: &str = "into";
pub const DEEP: &str = "deep";
pub const WITH: &str = "with";
pub const THE_REST_WITH: &str = "the rest later, with";
pub const WITHIN: &str = "within";
pub const UNTIL: &str = "until";
pub const POSITION: &str = "position";
pub const POSITIONS: &str = "positions";
pub const BY_HAND: &str = "by hand";
pub const AGAIN: &str = "again";
pub const PASS: &str = "pass";
pub const PASSES: &str = "passes";
pub const LAST_PASS: &str = "last pass";
pub const IN_THE_ORDER_SHOWN: &str = "in the order shown";
pub const IN_REVERSE_ORDER: &str = "in reverse order";
pub const ON_STANDS: &str = "on stands";
pub const ON_RAMPS: &str = "on ramps";
pub const ON_A_LIFT: &str = "on a lift";
pub const GAS: &str = "gas";
pub const WEAR_IT: &str = "eye protection must be worn";
pub const WITH_A_HELPER: &str = "with a helper";
pub const MOVE: &str = "move";
pub const ASIDE: &str = "aside";
pub const PUT: &str = "put";
pub const BACK: &str = "back";
pub const TRY_ON: &str = "try on";
pub const LET: &str = "let";
pub const COOL: &str = "cool";
pub const RUN_ENGINE: &str = "run the engine";
pub const STOP_ENGINE: &str = "stop the engine";
pub const TEST_DRIVE: &str = "test drive";
pub const FOUND: &str = "found:";
pub const FILL_IN: &str = "fill in";
pub const WORK_OUT: &str = "work out";
/// First words of a name that takes no article.
pub const DETERMINERS: &[&str] = &[
    "the",
    "a",
    "an",
    "every",
    "each",
    "all",
    "any",
    "both",
    "this",
    "that",
    "these",
    "those",
    "it",
    "its",
    "them",
    "your",
    "their",
    "no",
    "one",
    "two",
    "three",
    "four",
    "half",
    "everything",
];

// Conditions.
pub const IF: &str = "If";
pub const ONLY: &str = "Only";
pub const OTHERWISE: &str = "Otherwise";
pub const NEVER: &str = "never";
pub const IS_BAD: &str = "is bad";
pub const ARE_BAD: &str = "are bad";
pub const ARE_GOOD: &str = "are good";
pub const CLOCKWISE_ONLY: &str = "clockwise only";
pub const ANTICLOCKWISE_ONLY: &str = "anticlockwise only";
pub const IS_DONE: &str = "done";
pub const IS_GOOD: &str = "is good";
pub const IS_OUTSIDE: &str = "is outside its limits";
pub const IS_WITHIN: &str = "is within its limits";
pub const ANSWER_IS: &str = "the answer is";

pub const MONTHS: [&str; 12] = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

// Words of the value column and its drawings.
pub const NEW_ONES: &str = "new";
pub const NEW_NUTS: &str = "new nuts";
pub const LEFT_HAND: &str = "left-hand thread";
pub const AS_SAID: &str = "no torque";
pub const CHECK: &str = "check";
pub const HAND_TIGHT: &str = "hand tight";
pub const SLACKEN: &str = "slacken";
pub const HEX: &str = "hex";
pub const KEY: &str = "key";
pub const HEXALOBULAR: &str = "hexalobular";
pub const SLOT: &str = "slot";
pub const CROSS: &str = "cross";
pub const OILED: &str = "oiled";
pub const DRY: &str = "dry";
pub const ANTI_SEIZE: &str = "anti-seize";
pub const THREAD_LOCKER: &str = "thread-locker";
pub const AT_MOST: &str = "at most";
pub const SLOT_FORWARD: &str = "to the next slot, never back";
pub const SLOT_BACK: &str = "back to the next slot, never on";
pub const SLOT_EITHER: &str = "to the nearest slot";
pub const NUMBERS_ARE_ORDER: &str = "The numbers are the order of tightening.";
pub const NUMBERS_ARE_LOOSENING: &str = "The numbers are the order of loosening.";
pub const NUMBERS_ARE_POSITIONS: &str = "The numbers are the positions.";
pub const BLACK_IS: &str = "Black:";
pub const RINGED_IS: &str = "Ringed:";
pub const THE_OTHERS: &str = "The others:";
pub const THE_BLACK_ONES: &str = "the black ones";
pub const NUMBERS: &str = "numbers";
pub const LOOSENING_OF_POSITIONS: &str = "Positions in the order of loosening";
pub const ORDER: &str = "order";
pub const CROSSWISE: &str = "crosswise, opposite ones one after the other";
pub const CROSSWISE_FROM_MIDDLE: &str = "crosswise from the middle outwards";
pub const SPIRAL_FROM_MIDDLE: &str = "in a spiral from the middle outwards";
pub const ROUND_THE_CIRCLE: &str = "round the circle";
pub const ONE_AFTER_ANOTHER: &str = "one after the other";
pub const UNTIL_NONE_TURNS: &str = "until none turns";
pub const LOOSEN_CROSSWISE: &str = "Loosen crosswise.";
pub const LOOSEN_IN_REVERSE: &str = "Loosen in the reverse of the order of tightening.";
pub const OF_THEM: &str = "of them";
pub const CROSSWISE_ONLY: &str = "crosswise";
pub const THEN_ONCE_ROUND: &str = "then once round";
pub const CLOCKWISE_FROM_TOP: &str = "Clockwise from the top.";
pub const ORDER_OF_POSITIONS: &str = "Positions in the order of tightening";
pub const PLAN_OF: &str = "Plan of";

// States of the machine.
pub const ENGINE_RUNS: &str = "engine running";
pub const RAISED: &str = "raised";
pub const SUPPORTED: &str = "supported";
pub const LOCKED: &str = "locked";
pub const DRAINED: &str = "drained";
pub const NOT_BLED: &str = "not bled";
pub const IN_PLACE: &str = "in";
pub const SWITCHED_OFF: &str = "switched off";
pub const DISCONNECTED: &str = "disconnected";
pub const OPEN: &str = "open";
pub const CHOCKED: &str = "chocked";
pub const OFF: &str = "off";
pub const MOVED_ASIDE: &str = "moved aside";
pub const NOT_FASTENED: &str = "not fastened";
pub const LOOSE: &str = "loose";
pub const AND_MORE: &str = "more";

// Blocks and stages.
pub const AT_THE_BENCH: &str = "at the bench";
pub const AFTER: &str = "After";
pub const WITHIN_TITLE: &str = "Within";
pub const BEFORE_NEXT_TRY: &str = "Only before the next try";
pub const ONLY_WITH: &str = "only with";
pub const ONLY_WITH_TITLE: &str = "Only with";
pub const ONLY_WITHOUT: &str = "Only without";
pub const FOR_EACH: &str = "For each";
pub const FIRST: &str = "First";
pub const THROUGH_ALL_STAGES_FROM: &str = "through all stages from";
pub const THEN: &str = "then";
pub const THEN_THE_SAME_FOR: &str = "then all of them again for";
pub const ONE_AFTER_THE_OTHER: &str = "One after the other: the next is not begun before this one is whole again.";
pub const UNTIL_TITLE: &str = "Until";
pub const TIME_WORD: &str = "time";
pub const TIMES: &str = "times";
pub const STOP_LOWER: &str = "stop";
pub const IF_IT_NEVER_IS: &str = "If it does not come to that:";

// Labels of details, in boxes.
pub const TIP: &str = "tip";
pub const NOTE: &str = "note";
pub const WHY: &str = "why";
pub const EXPECT: &str = "expect";
pub const USE: &str = "use";
pub const TOOL: &str = "tool";
pub const SPEC: &str = "spec";
pub const NUMBER: &str = "number";
pub const FRAGILE: &str = "fragile";
pub const ORIENT: &str = "orient";
pub const SETTING: &str = "setting";
pub const COUNTER_HOLD: &str = "counter-hold";
pub const TIGHTEN: &str = "tighten";
pub const SUM: &str = "sum";
pub const PLACE: &str = "place";
pub const RACK_BY_PLACE: &str = "Each goes back exactly where it came from. Rack them by place.";
pub const HANDED_LABEL: &str = "handed";
pub const HANDED: &str = "Left and right look alike and are not interchangeable.";
pub const MIRRORED: &str = "mirrored on the other side";
pub const ROUND_TO: &str = "rounded to";

// Values.
pub const AT_LEAST_WORDS: &str = "at\u{a0}least\u{a0}";
pub const AT_MOST_WORDS: &str = "at\u{a0}most\u{a0}";
pub const THE_SAME: &str = "the same";
pub const AS: &str = "as";
pub const SET_TO: &str = "set to";
pub const ABOUT: &str = "about";
pub const BEGAN_AT: &str = "began at";
pub const GOOD: &str = "good";
pub const BAD: &str = "bad";

// Lists.
pub const TO_TOP_UP: &str = "To top up";
pub const WHOLE_SYSTEM: &str = "Whole system";
pub const CONCENTRATE: &str = "concentrate";
pub const WATER: &str = "water";
pub const READY_MIXED: &str = "ready mixed";
pub const BY_VOLUME: &str = "by volume";
pub const PROTECTS_TO: &str = "protects to";
pub const FREEZES_AT: &str = "freezes at about";
pub const CONCENTRATE_AND: &str = " + ";
pub const POUR: &str = "pour";
pub const DRAIN_MORE: &str = "drain more";
pub const CONCENTRATE_AND_WATER: &str = "Concentrate + water if they are";
pub const STAY_IN: &str = "stay in";
pub const STAY_IN_AS_THEY_ARE: &str = "stay in: measure how strong they are";
pub const WHOLE_BECOMES: &str = "the whole becomes";
pub const THE_WATER: &str = "The water is distilled or deionised";
pub const NO_WAY: &str = "no pouring makes the whole";
pub const DRAIN_TRAY: &str = "drain tray";
pub const OIL_FOR_THREADS: &str = "clean oil for threads";
pub const SOCKETS: &str = "sockets";
pub const KEYS: &str = "hexagon keys";
pub const HEXALOBULAR_BITS: &str = "hexalobular bits";
pub const CROSS_DRIVER: &str = "cross screwdriver";
pub const SLOT_DRIVER: &str = "slot screwdriver";
pub const TORQUE_WRENCH: &str = "torque wrench";
pub const TORQUE_WRENCH_FOR: &str = "torque wrench for";
pub const BY_ISO_6789: &str = "by ISO\u{a0}6789";
pub const ANGLE_GAUGE: &str = "angle gauge";
pub const AXLE_STANDS: &str = "axle stands";
pub const RAMPS: &str = "ramps";
pub const LIFT: &str = "vehicle lift";

// Crow-feet.
pub const SET_THE_WRENCH_TO: &str = "set the wrench to";
pub const FROM_SQUARE_TO_BOLT: &str = "from square to bolt";
pub const AT_THE_BOLT: &str = "at the bolt";
pub const ON: &str = "on";
pub const A_TORQUE_WRENCH_OF: &str = "a torque wrench of";
pub const SQUARE_TO_WRENCH: &str = "square to it";
pub const TURNED_BACK: &str = "turned back";
pub const TO_THE_WRENCH: &str = "to it";
pub const STRAIGHT_ON: &str = "Straight on, in line with the wrench";
pub const HAND_ON_GRIP: &str = ", and the hand at the middle of the grip: else the setting is wrong.";
pub const KEEP_SQUARE: &str = "Keep it square to the wrench: then the setting is the torque at the bolt.";

// Last look.
pub const WOUND_BACK: &str = "wound back";
pub const LEVEL_RIGHT: &str = "level right";
pub const BLED: &str = "bled";
pub const OUT: &str = "out";
pub const OUT_AGAIN: &str = "out again";
pub const TIGHT: &str = "tight";
pub const IF_FITTED: &str = "if fitted";
pub const IF_WORKED_ON: &str = "if worked on";
pub const NEW_IF_BAD: &str = "new if bad";
pub const FASTENERS_OUT_AND_IN: &str = "fasteners out, # in";
pub const ONE_FASTENER_OUT_AND_IN: &str = "fastener out, # in";
pub const FITTED: &str = "fitted";
pub const CONNECTED: &str = "connected";
pub const RETURNED: &str = "in place";
pub const CLOSED: &str = "closed";
pub const LOWERED: &str = "lowered";
pub const RELEASED: &str = "released";
pub const UNLOCKED: &str = "unlocked";
pub const UNCHOCKED: &str = "unchocked";
pub const SWITCHED_ON: &str = "on";
