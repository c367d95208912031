//! Shares of concentrate: `40 % by volume`, and the ways of saying it that mean something else or leave it open.

use super::findings::Findings;
use super::piece::{Piece, short};
use super::value::{Wanted, quantity};
use crate::quantity::{Number, Quantity, parse_quantity};
use crate::trade::coolant::{Glycol, fraction, share::by_volume};

/// `40 % by volume`; `by volume` may be left out. By mass it would be another mix.
pub(super) fn share_by_volume(text: Piece<'_>, wanted: &Wanted, findings: &mut Findings) -> Option<Quantity> {
    // In ASCII letters alone, so that places stay places.
    let Some(cut) = text.text.to_ascii_lowercase().find(" by ") else {
        return if tell_parts(text, findings) { None } else { quantity(text, wanted, findings) };
    };
    let (share, rest) = (text.sub(0, cut).trim(), text.sub(cut, text.text.len()).trim());
    let by = rest.text.to_ascii_lowercase();
    let by = by.strip_prefix("by").unwrap_or(&by).trim();
    if ["mass", "weight", "wt"].iter().any(|word| by.starts_with(word)) {
        let message =
            format!("`{}` takes a share by volume, but `{}` is something else", wanted.what, short(rest.text));
        findings.error("unit-mismatch", rest.span(), |d| {
            d.message = message;
            d.label = "not by volume".to_owned();
            d.help = match parse_quantity(share.text).ok().and_then(|share| in_volume(&share)) {
                Some(volumes) => format!("write the share by volume, as the jug measures it: {volumes}"),
                None => format!("write the share by volume, as the jug measures it: `{}`", wanted.like),
            };
        });
        return None;
    }
    if tell_parts(share, findings) {
        return None;
    }
    quantity(share, wanted, findings)
}

/// `1:1`, `50/50`, `1 to 2`: parts of one to parts of the other, as the shop says it. Told with the share where both are alike; else it leaves
/// open which is the concentrate.
fn tell_parts(text: Piece<'_>, findings: &mut Findings) -> bool {
    let parts = text.text.split_once([':', '/']).or_else(|| text.text.split_once(" to "));
    let Some((one, other)) = parts else { return false };
    let number = |part: &str| Number::parse(part).ok().filter(|n| !n.is_negative() && !n.is_zero());
    let (Some(one), Some(other)) = (number(one), number(other)) else { return false };
    // `1/2` is a fraction and not half and half.
    if text.text.contains('/') && one.checked_add(&other) != Some(Number::whole(100)) {
        return false;
    }
    if one == other {
        let message = format!("`{}` is no share of concentrate", short(text.text));
        findings.bad_fix(text.span(), message, "write `50 % by volume`", text.span(), "50 %");
        return true;
    }
    let whole = one.checked_add(&other);
    let percent =
        |part: Number| whole.and_then(|whole| part.checked_div(&whole)).map_or(0.0, |share| share.to_f64() * 100.0);
    let message = format!("`{}` leaves open which part is the concentrate", short(text.text));
    let help = format!(
        "write the share of concentrate: `{:.0} % by volume` or `{:.0} % by volume`",
        percent(one),
        percent(other)
    );
    findings.bad(text.span(), message, help);
    true
}

/// What a share by mass is by volume, for both kinds of coolant.
fn in_volume(share: &Quantity) -> Option<String> {
    let percent = fraction(share)?.to_f64() * 100.0;
    let of =
        |glycol: Glycol| by_volume(glycol, percent).map(|by| format!("`{by:.0} % by volume` of {}", glycol.name()));
    Some(format!("{share} by mass is {} or {}", of(Glycol::Ethylene)?, of(Glycol::Propylene)?))
}
