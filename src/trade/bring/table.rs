//! The trade nouns, each with what it brings. Common practice of the trade: what a foreman says before the act.

use super::Meet::{Cleaned, Held, Lifted, Opened, PutOn, Raised, Undone, Used};
use super::{Meet, Near, Row};
use crate::trade::fluid::FluidKind;
use crate::trade::hazard::Hazard;

/// What shows that a job speaks of a trade: words of a name, or after `=` all of it but for [`WHICH_ONE`].
pub(super) const NEAR: &[(Near, &str)] = &[
    (Near::Brake, "brake|braking|caliper|handbrake"),
    (Near::Restraint, "airbag|air bag|=seat|seat belt|seatbelt|restraint|buckle|pretensioner"),
    (
        Near::HighVoltage,
        "traction battery|high voltage|hv|hybrid|traction motor|drive battery|link voltage|electric loader|electric van|\
         electric truck|electric car|electric bus|electric tractor|electric vehicle|electric drive",
    ),
    (Near::Injection, "injector|injection pump|injection pipe|fuel rail|common rail"),
    (Near::Suspension, "strut|coil spring|top mount|shock absorber|spring compressor"),
    (Near::SpringBrake, "spring brake|spring chamber|caging bolt|release bolt|parking chamber"),
    (
        Near::Air,
        "compressed air|brake air|air tank|air reservoir|relay valve|spring chamber|spring brake|caging bolt|brake chamber|\
         air coupling|air brake",
    ),
    (Near::Clutch, "clutch disc|clutch plate|driven plate|release bearing|flywheel"),
];

/// Words that tell which one, and not what.
pub(super) const WHICH_ONE: &[&str] = &[
    "front",
    "rear",
    "left",
    "right",
    "inner",
    "outer",
    "upper",
    "lower",
    "new",
    "old",
    "first",
    "second",
    "third",
    "leading",
    "trailing",
    "primary",
    "secondary",
    "both",
    "all",
    "every",
    "each",
    "axle",
    "inboard",
    "outboard",
    "parking",
];

/// Tools that take the weight off the hands.
pub(super) const HOISTS: &str = "hoist|crane|forklift|fork lift|fork lift truck|forklift truck|lift truck|gearbox jack|\
    transmission jack|engine jack|floor jack|trolley jack|wheel dolly|lifting table|lift table|gantry|lifting beam|\
    lifting sling|pallet truck|jack";

/// A system that burns gas.
pub(super) const GAS: &str = "lpg|propane|butane|natural gas|cng|lng|gas regulator|gas bottle|gas cylinder|gas tank|\
    gas pipe|gas valve|gas burner";

/// Names of fluids whose kind nobody wrote.
pub(super) const FLUIDS: &[(&str, FluidKind)] = &[
    ("diesel|petrol|gasoline|fuel|diesel fuel|gas oil|lpg|kerosene", FluidKind::Fuel),
    ("brake fluid|clutch fluid", FluidKind::BrakeFluid),
    ("hydraulic oil|hydraulic fluid|power steering fluid|power steering oil", FluidKind::HydraulicOil),
    ("coolant|antifreeze", FluidKind::EthyleneGlycolCoolant),
    ("engine oil|motor oil", FluidKind::EngineOil),
    ("gear oil|gearbox oil|axle oil", FluidKind::GearOil),
    ("refrigerant", FluidKind::Refrigerant),
    ("battery acid|electrolyte", FluidKind::BatteryAcid),
    ("compressed air", FluidKind::CompressedAir),
    ("washer fluid|screen wash", FluidKind::WasherFluid),
];

/// Acts in an author's own words, as a sentence begins with them.
pub(super) const ACTS: &[(&str, &[Hazard])] = &[
    ("grind|drill|chisel|hammer|blow|sand blast|file off|knock|drive out", &[Hazard::EyeInjury]),
    ("weld|braze|cut with a torch", &[Hazard::EyeInjury, Hazard::Fire]),
    ("heat|warm the bearing|warm the ring", &[Hazard::HotSurface]),
    (
        "start the engine|run the engine|let the engine run|let the engine idle|start engine",
        &[Hazard::ExhaustGas, Hazard::RotatingParts],
    ),
    (
        "jack up the vehicle|jack up the truck|jack up the van|jack up the car|jack up the trailer|\
         jack up the tractor|jack up the front|jack up the rear|jack up the machine|jack the vehicle|\
         jack the truck|jack the van|jack the car|jack the trailer|jack the tractor|jack the front|\
         jack the rear|jack the machine|raise the vehicle|raise the truck|raise the van|raise the car|\
         raise the trailer|raise the tractor|raise the front|raise the rear|raise the machine",
        &[Hazard::UnsupportedVehicle],
    ),
    ("charge the battery|charge the batteries", &[Hazard::BatteryAcid]),
];

const OFF_AND_ON: &[Meet] = &[Undone, PutOn];
const OFF: &[Meet] = &[Undone];
const COOLANT: &[FluidKind] = &[FluidKind::EthyleneGlycolCoolant, FluidKind::PropyleneGlycolCoolant];

const fn row(hazard: Hazard, meets: &'static [Meet], nouns: &'static str) -> Row {
    Row { nouns, hazard, meets, unless: "", near: None, bare: false, not_near: None, stands_for: &[], anywhere: false }
}

const fn unless(words: &'static str, row: Row) -> Row {
    Row { unless: words, ..row }
}

const fn near(near: Near, row: Row) -> Row {
    Row { near: Some(near), ..row }
}

const fn not_near(near: Near, row: Row) -> Row {
    Row { not_near: Some(near), ..row }
}

const fn bare(row: Row) -> Row {
    Row { bare: true, ..row }
}

const fn anywhere(row: Row) -> Row {
    Row { anywhere: true, ..row }
}

const fn instead_of(stands_for: &'static [FluidKind], row: Row) -> Row {
    Row { stands_for, ..row }
}

/// All of it.
pub(super) const ROWS: &[Row] = &[
    // Springs that are held under load by what is undone.
    row(
        Hazard::StoredSpring,
        OFF_AND_ON,
        "coil spring|road spring|suspension spring|recoil spring|torsion spring|torsion bar|leaf spring|front spring|\
         rear spring|valve spring|pack spring|clutch spring|counterbalance spring|mainspring|tension spring|\
         compression spring|extension spring|trip spring|balance spring|assist spring|spring pack|recoil unit|\
         recoil assembly|spring chamber|spring brake|spring brake chamber|spring brake actuator|spring brake cylinder|\
         spring cylinder|parking chamber",
    ),
    near(Near::SpringBrake, row(Hazard::StoredSpring, OFF_AND_ON, "brake chamber|brake actuator|double chamber")),
    near(Near::Suspension, bare(row(Hazard::StoredSpring, OFF_AND_ON, "spring"))),
    near(
        Near::Suspension,
        row(Hazard::StoredSpring, OFF_AND_ON, "rod nut|piston rod nut|top mount nut|strut nut|strut top nut"),
    ),
    row(Hazard::StoredSpring, &[Used], "spring compressor|spring vice|spring press"),
    // Retainers and small springs jump: into the eye, not through the shop.
    row(
        Hazard::EyeInjury,
        OFF,
        "return spring|hold down spring|shoe spring|brake spring|lining spring|pull off spring|circlip|snap ring|\
         retaining ring|collet|valve collet|recoil starter",
    ),
    // As the kind of a fastener: `4 x spring`.
    unless("front|rear", bare(row(Hazard::EyeInjury, OFF, "spring"))),
    unless(
        "soft|soft face|rubber|plastic|nylon|copper|brass|wooden|hide|aluminium",
        row(
            Hazard::EyeInjury,
            &[Used],
            "hammer|sledge|sledgehammer|slide hammer|chisel|drift|punch|drift punch|grinder|angle grinder|bench grinder|\
             grinding wheel|flap disc|cutting disc|wire wheel|rotary wire brush|drill|power drill|compressed air|air gun|\
             blow gun|air line|air chisel|impact hammer|sand blaster|needle scaler|ball joint separator|\
             ball joint puller|joint splitter|hub puller|bearing puller|pulley puller|gear puller|hydraulic press|\
             workshop press|bench press",
        ),
    ),
    // What falls when its prop is gone. A gas strut keeps a bonnet up: the bonnet hurts, not the strut.
    row(Hazard::Crush, OFF, "gas strut|gas spring|bonnet strut|hood strut|tailgate strut"),
    unless(
        "stub|half",
        row(
            Hazard::UnsupportedVehicle,
            &[Raised],
            "trailer|tractor|truck|excavator|machine|vehicle|car|van|bus|axle|front axle|rear axle|chassis|frame|front end|\
         rear end|forwarder|digger|dumper",
        ),
    ),
    row(
        Hazard::Crush,
        &[Held],
        "lift arm|loader arm|boom|cab|tipping body|tipper body|dump body|load body|mast|mower deck|tail lift|ramp|loading ramp|\
         bucket|implement|dozer blade|drawbar",
    ),
    unless(
        "suspension|spring|axle|lift|lamp|light|fuse|label|bellows",
        anywhere(row(
            Hazard::Airbag,
            OFF_AND_ON,
            "airbag|air bag|pretensioner|seatbelt tensioner|seat belt tensioner|pyrotechnic",
        )),
    ),
    unless(
        "drive|timing|fan|accessory|alternator|auxiliary",
        near(
            Near::Restraint,
            row(
                Hazard::Airbag,
                OFF_AND_ON,
                "belt tensioner|restraint control unit|driver module|curtain module|inflator",
            ),
        ),
    ),
    row(Hazard::Airbag, OFF_AND_ON, "steering wheel module|restraint control unit|restraint module"),
    anywhere(row(
        Hazard::HighVoltage,
        OFF_AND_ON,
        "high voltage|traction battery|drive battery|hv battery|traction motor|traction inverter|orange cable|orange plug",
    )),
    near(
        Near::HighVoltage,
        row(
            Hazard::HighVoltage,
            OFF_AND_ON,
            "inverter|battery module|service plug|service disconnect|service switch|main contactor|contactor|dc converter|\
             on board charger|onboard charger|charger plug|charge cable|power cable|contactor box lid",
        ),
    ),
    row(
        Hazard::ElectricShock,
        OFF_AND_ON,
        "mains cable|mains lead|mains plug|mains supply|main breaker|output breaker|generator breaker|output terminal|\
         generator terminal|terminal box|terminal box cover|terminal box lid|\
         generator lead|stator lead|output lead|distribution board|switchboard",
    ),
    unless(
        "traction|drive|high voltage|hv|lithium|key|remote|button|cell|coin|backup|tester",
        row(Hazard::BatteryAcid, OFF_AND_ON, "battery"),
    ),
    // Dust of linings: where they come off and where they are cleaned. New ones have none.
    row(
        Hazard::BrakeDust,
        &[Undone, Cleaned],
        "brake pad|brake shoe|brake lining|brake band|brake drum|brake disc|brake rotor|handbrake shoe|brake caliper|\
         clutch disc|clutch plate|clutch driven plate|driven plate|clutch lining|clutch assembly|backing plate",
    ),
    near(Near::Clutch, row(Hazard::BrakeDust, &[Undone, Cleaned], "clutch cover|pressure plate")),
    near(
        Near::Brake,
        bare(row(Hazard::BrakeDust, &[Undone, Cleaned], "pad|shoe|drum|drum hub|hub and drum|disc|rotor|caliper")),
    ),
    bare(row(Hazard::BrakeDust, &[Undone, Cleaned], "lining")),
    // Kept under pressure with the engine off.
    row(
        Hazard::FluidUnderPressure,
        OFF,
        "accumulator|suspension sphere|air tank|air reservoir|air receiver|track adjuster|track adjuster valve|\
         track adjuster grease valve|track tensioner|track tensioner valve|tension valve|fuel rail|common rail|\
         injector pipe|injection pipe|injection line|injector line|high pressure pipe|high pressure line|\
         high pressure hose|high pressure pump|injection pump|hydraulic hose|hydraulic pipe|hydraulic line|\
         hydraulic pump|hydraulic motor|hydraulic cylinder|hydraulic ram|lift cylinder|tilt cylinder|steering cylinder|\
         pressure hose|pressure pipe|pressure line|valve core|tyre|tire|split rim",
    ),
    near(
        Near::Air,
        row(
            Hazard::FluidUnderPressure,
            OFF,
            "air line|air hose|air pipe|air valve|air dryer|air spring|air bellows|service hose|emergency hose|\
             supply hose|control hose|relay valve|brake valve|brake hose|brake pipe|brake line",
        ),
    ),
    row(
        Hazard::FluidUnderPressure,
        &[Used],
        "injector tester|nozzle tester|pressure washer|grease gun adaptor|test pump",
    ),
    instead_of(
        &[FluidKind::Fuel],
        row(
            Hazard::Fire,
            OFF,
            "fuel rail|fuel pipe|fuel line|fuel hose|fuel filter|fuel tank|fuel pump|fuel cock|fuel tap|fuel bowl|\
             carburettor|carburetor|injector|injector pipe|injection pipe|injection pump",
        ),
    ),
    row(Hazard::Fire, &[Used], "blowlamp|blow lamp|blow torch|gas torch|cutting torch|welder|welding set"),
    instead_of(
        COOLANT,
        row(Hazard::Scald, &[Opened], "radiator cap|header tank cap|expansion tank cap|expansion cap|coolant cap"),
    ),
    instead_of(
        COOLANT,
        row(
            Hazard::Scald,
            OFF,
            "radiator|radiator hose|top hose|bottom hose|heater hose|coolant hose|coolant pump|water pump|thermostat housing|\
             radiator cap|coolant pipe",
        ),
    ),
    not_near(
        Near::Air,
        row(
            Hazard::CorrosiveFluid,
            OFF,
            "brake pipe|brake line|brake hose|caliper hose|clutch pipe|wheel cylinder|master cylinder|slave cylinder",
        ),
    ),
    instead_of(
        &[FluidKind::Refrigerant],
        unless(
            "ignition|contact",
            row(
                Hazard::Refrigerant,
                OFF,
                "condenser|evaporator|a c compressor|air con compressor|air conditioning compressor",
            ),
        ),
    ),
    row(
        Hazard::HotSurface,
        OFF,
        "exhaust manifold|exhaust pipe|front pipe|downpipe|tailpipe|silencer|muffler|turbocharger|turbo|catalytic converter|\
         particulate filter",
    ),
    row(
        Hazard::HotSurface,
        &[Used],
        "blowlamp|blow lamp|blow torch|gas torch|hot air gun|heat gun|induction heater|bearing heater|hot plate|oil bath|oven|\
         welder|soldering iron",
    ),
    // Nobody weighs these before he lifts them.
    row(
        Hazard::HeavyLoad,
        &[Lifted],
        "gearbox|transmission|engine|counterweight|transfer box|transfer case|differential|final drive|front axle|rear axle|\
         drive axle|axle beam|axle assembly|cylinder head|cylinder block|traction battery|flywheel|bucket|loader bucket|track|\
         track chain|front weight|wheel weight|ballast weight|winch|mower deck|tractor cab|driver cab",
    ),
    row(Hazard::HeavyLoad, &[Used], HOISTS_THAT_LIFT),
    row(
        Hazard::SharpEdge,
        &[Undone, PutOn, Cleaned],
        "windscreen|windshield|window glass|window pane|glass pane|mower blade|\
         knife|cutter bar|saw blade|saw chain|razor blade|cutter blade",
    ),
    row(Hazard::SharpEdge, &[Used], "knife|razor blade|glass cutter|cutting wire"),
];

/// Those of the [`HOISTS`] under which a load hangs or sits high.
const HOISTS_THAT_LIFT: &str = "hoist|crane|forklift|fork lift|fork lift truck|forklift truck|lift truck|gearbox jack|\
    transmission jack|engine jack|gantry|lifting beam|lifting sling|sling";
