//! What a review says, as plain data for every output.
//!
//! Invariant: all figures SI and typed, all lists in their printing order; no words about how they are shown.

use crate::base::finding::Finding;
use crate::base::quantity::{
    Fraction, MoistureMass, Pressure, RelativeHumidity, Temperature, TemperatureDifference, Transmittance,
};
use crate::base::span::{FileId, Span};
use crate::model::detail::{Standing, Status};

/// The report of one root text.
#[derive(Clone, Debug, Default)]
pub struct Report {
    /// The root text.
    pub file: FileId,
    /// The job, if the text has one.
    pub job: Option<JobLine>,
    /// The details of the shelf that it uses, or is.
    pub details: Vec<DetailLine>,
    /// What was found and not accepted: ordered by family, then weight, then place.
    pub findings: Vec<Finding>,
    /// What was found and accepted by the author.
    pub accepted: Vec<Accepted>,
    /// Rules that could not run.
    pub not_run: Vec<NotRun>,
    /// Values that the author left out and the program took.
    pub assumed: Vec<Assumed>,
    /// How many things the author said nobody knows.
    pub unknown: usize,
    /// The numbers.
    pub surfaces: Vec<SurfaceReport>,
}

/// Where and under what rules the job stands.
#[derive(Clone, Debug)]
pub struct JobLine {
    /// Its name.
    pub name: String,
    /// Its title, if it has one.
    pub title: Option<String>,
    /// "Roanoke, Virginia".
    pub place: String,
    /// "4A (county list, IECC 2021)".
    pub zone: Option<String>,
    /// The code edition, if stated.
    pub code: Option<String>,
    /// What the months are: "mean year of 2003 to 2021", "typical year", and what is made of them.
    pub climate: String,
    /// What sort of year is judged: "mean", "typical", "single", "written" or "design"; none without a place.
    pub year: Option<&'static str>,
    /// What the place does to the figures, and what its weather leaves open.
    pub notes: Vec<String>,
    /// Whose data they are: the credit lines to show.
    pub credits: Vec<String>,
    /// Figures are shown in metric units.
    pub metric: bool,
}

/// A detail of the shelf that stands in a job.
#[derive(Clone, Debug)]
pub struct DetailLine {
    /// Its name.
    pub name: String,
    /// What it is called in the job; none where the text is the detail itself.
    pub used_as: Option<String>,
    /// What it is.
    pub title: String,
    /// The revision that stands here.
    pub revision: u32,
    /// The status its head claims.
    pub claimed: Status,
    /// What its evidence bears out.
    pub standing: Standing,
    /// The fingerprint of this form; none where walls of the job took the place of its own.
    pub form: Option<String>,
}

/// A finding that the author accepted.
#[derive(Clone, Debug)]
pub struct Accepted {
    /// What was found.
    pub finding: Finding,
    /// The author's reason.
    pub because: String,
    /// Where it is accepted.
    pub span: Span,
}

/// A rule that could not run.
#[derive(Clone, Debug)]
pub struct NotRun {
    /// Which.
    pub rule: &'static str,
    /// On which surface; none for a joint or the whole job.
    pub surface: Option<String>,
    /// At which joint.
    pub joint: Option<String>,
    /// Where the reason stands, if in the text.
    pub span: Option<Span>,
    /// Why, and what it would need: one sentence.
    pub why: String,
}

/// A value that was taken because the author left it out.
#[derive(Clone, Debug)]
pub struct Assumed {
    /// On which surface; none for the job.
    pub surface: Option<String>,
    /// Where it would be written.
    pub span: Span,
    /// "drywall: seams taped".
    pub what: String,
}

/// The numbers of one surface.
#[derive(Clone, Debug)]
pub struct SurfaceReport {
    /// Its name.
    pub name: String,
    /// Its head line.
    pub span: Span,
    /// `wall`, `roof` ...
    pub kind: &'static str,
    /// Thermal transmittance with members; none when it cannot be told.
    pub u_value: Option<Transmittance>,
    /// How it was found, or why it cannot be told.
    pub u_note: String,
    /// The paths vapor and heat take through it; the first is the one between members.
    pub paths: Vec<PathReport>,
    /// Why there are no paths, if there are none.
    pub no_profile: Option<String>,
    /// What the figures leave out, said for this surface (capped outdoor air, a vented gap, unknown ends).
    pub notes: Vec<String>,
}

/// One path through a surface.
#[derive(Clone, Debug)]
pub struct PathReport {
    /// "between members", "through members", "at the port".
    pub name: &'static str,
    /// Its share of the area.
    pub share: Fraction,
    /// Interfaces from outside in, the two surfaces included.
    pub interfaces: Vec<InterfaceLine>,
    /// January to December.
    pub months: Vec<MonthLine>,
    /// In which month (1 to 12) the sum began: the first that condenses, none when none does.
    pub first_month: Option<u8>,
    /// Most water at one time.
    pub peak: MoistureMass,
    /// The month of it.
    pub peak_month: Option<u8>,
    /// Water left after twelve months.
    pub left: MoistureMass,
}

/// An interface: the place between two layers, or a surface.
#[derive(Clone, Debug)]
pub struct InterfaceLine {
    /// The layer outside of it, by label; none for the outer surface.
    pub outside: Option<String>,
    /// The layer inside of it; none for the inner surface.
    pub inside: Option<String>,
    /// True for a place inside one layer where water was found, between its slices.
    pub within: bool,
}

/// One month of a path.
#[derive(Clone, Debug)]
pub struct MonthLine {
    /// 1 to 12.
    pub month: u8,
    /// Air outside the path.
    pub outdoor: AirLine,
    /// Air inside the path.
    pub indoor: AirLine,
    /// For each interface.
    pub points: Vec<PointLine>,
}

/// Air on one side.
#[derive(Clone, Copy, Debug)]
pub struct AirLine {
    /// Temperature.
    pub temperature: Temperature,
    /// Vapor pressure.
    pub vapor: Pressure,
    /// The pressure given was above saturation and was taken as saturation.
    pub capped: bool,
}

/// One interface in one month.
#[derive(Clone, Copy, Debug)]
pub struct PointLine {
    /// Temperature.
    pub temperature: Temperature,
    /// Saturation pressure there.
    pub saturation: Pressure,
    /// Vapor pressure there, at the month's end.
    pub vapor: Pressure,
    /// Relative humidity there.
    pub humidity: RelativeHumidity,
    /// Temperature above the dew point of the vapor there.
    pub margin: TemperatureDifference,
    /// Water there at the month's end.
    pub water: MoistureMass,
}
