//! Weather files: what is read, repaired and refused. Means of whole files against a general-purpose reader are in
//! `tests/outside/test_weather.py`.

use dewlap::base::quantity::Temperature;
use dewlap::catalog::{self, ZoneRain, ZoneWeather, degree_days, zone_from};
use dewlap::review::{Ask, Input, Review, review};
use dewlap::weather::{Layout, Refusal, Weather, read};
use proptest::prelude::*;

const DAYS: [usize; 12] = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
const HEAD: &str = "LOCATION,Otter Landing,ZZ,USA,made up,000000,44.10,-71.90,-5.0,310.0\nDESIGN CONDITIONS,0\n\
    TYPICAL/EXTREME PERIODS,0\nGROUND TEMPERATURES,0\nHOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0\nCOMMENTS 1,a, b\n\
    COMMENTS 2,\nDATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31\n";
const REST: &str = "95000,0,0,300,0,0,0,0,0,0,9999,180,3.0,5,5,9999,99999,9,999999999,999,.999,999,99,999,999,99";

/// A record: month m has m C by day; the dew point is 4 K below, by night 8 K.
fn record(month: usize, day: usize, hour: usize) -> String {
    let dew = month as f64 - if (7..=18).contains(&hour) { 4.0 } else { 8.0 };
    format!("{},{month},{day},{hour},60,?9?9,{month}.0,{dew:.1},66,{REST}\n", 1980 + month)
}

pub fn epw() -> String {
    let mut text = HEAD.to_string();
    for (month, days) in (1..).zip(DAYS) {
        for day in 1..=days {
            (1..=24).for_each(|hour| text.push_str(&record(month, day, hour)));
        }
    }
    text
}

fn tmy3() -> String {
    let mut text = "000000,\"Otter Landing, north bank\",ZZ,-5,44.1,-71.9,310\nDate (MM/DD/YYYY),Time (HH:MM),\
        ETR (W/m^2),Dry-bulb (C),Dry-bulb source,Dew-point (C),RHum (%),Pressure (mbar)\n"
        .to_string();
    for (month, days) in (1..).zip(DAYS) {
        for (day, hour) in (1..=days).flat_map(|d| (1..=24).map(move |h| (d, h))) {
            let dew = month as f64 - if (7..=18).contains(&hour) { 4.0 } else { 8.0 };
            text += &format!("{month:02}/{day:02}/{},{hour:02}:00,0,{month}.0,A,{dew},66,950\n", 1980 + month);
        }
    }
    text
}

/// Changes the fields of some lines (from 1).
fn with(text: &str, lines: std::ops::RangeInclusive<usize>, fields: &[(usize, &str)]) -> String {
    let mut out = String::with_capacity(text.len());
    for (line, content) in (1..).zip(text.lines()) {
        let mut parts: Vec<&str> = content.split(',').collect();
        if lines.contains(&line) {
            fields.iter().for_each(|(at, new)| parts[*at] = new);
        }
        out.push_str(&parts.join(","));
        out.push('\n');
    }
    out
}

fn saturation(t: f64) -> f64 {
    611.2 * dewlap::base::math::exp(17.62 * t / (243.12 + t))
}

fn refused(text: &str) -> Refusal {
    let refusal = read(text).expect_err("is read");
    assert!(!refusal.help.is_empty() && refusal.what.len() < 100, "{refusal:?}");
    refusal
}

fn line_and_words(text: &str, line: usize, words: &str) {
    let refusal = refused(text);
    assert!(refusal.line == Some(line) && refusal.what.contains(words), "{line} {words}: {refusal:?}");
}

fn same_figures(a: &Weather, b: &Weather) {
    for (x, y) in a.months.iter().zip(&b.months) {
        assert!((x.temperature.si() - y.temperature.si()).abs() < 1e-9);
        assert!((x.vapor.si() - y.vapor.si()).abs() < 1e-9);
    }
}

#[test]
fn vapor_is_averaged_as_pressure() {
    let weather = read(&epw()).unwrap();
    for (month, line) in (1..).zip(&weather.months) {
        let t = f64::from(month);
        assert!((line.temperature.si() - t).abs() < 1e-9);
        let mean = (saturation(t - 4.0) + saturation(t - 8.0)) / 2.0;
        assert!((line.vapor.si() - mean).abs() < 1e-6, "{month}: {line:?}");
        // The pressure at the mean dew point is another one.
        assert!(line.vapor.si() - saturation(t - 6.0) > 4.0);
        assert!((line.humidity.si() - 0.66).abs() < 1e-9);
    }
    // Every day of a month has its mean: 65 F less m by the days, and m less 10 in November and December.
    let heating: f64 = (1..).zip(DAYS).map(|(m, d)| ((65.0 - 32.0) / 1.8 - f64::from(m)) * d as f64).sum();
    assert!((weather.degree_days.0 - heating).abs() < 1e-6);
    assert!((weather.degree_days.1 - (30.0 + 62.0)).abs() < 1e-6);
    assert_eq!((weather.layout, weather.station.title.as_str()), (Layout::Epw, "Otter Landing, ZZ, USA"));
    assert!(weather.repairs.is_empty() && weather.record().starts_with("typical year, January to December from 1981"));
}

#[test]
fn both_layouts_give_the_same() {
    let (one, other) = (read(&epw()).unwrap(), read(&tmy3()).unwrap());
    same_figures(&one, &other);
    assert_eq!(other.station.title, "Otter Landing, north bank, ZZ");
    assert_eq!((one.station.elevation.si(), other.station.elevation.si()), (310.0, 310.0));
    assert_eq!((one.station.longitude, other.station.latitude), (-71.9, 44.1));
}

#[test]
fn spellings_that_change_nothing() {
    let plain = read(&epw()).unwrap();
    let records = epw().lines().skip(8).fold(String::new(), |all, l| all + l + "\n");
    let zero_based = {
        let line = |l: &str| l.splitn(5, ',').map(str::to_string).collect::<Vec<_>>();
        let lines = records.lines().map(|l| {
            let mut f = line(l);
            f[3] = (f[3].parse::<u8>().unwrap() - 1).to_string();
            f.join(",") + "\n"
        });
        HEAD.to_string() + &lines.collect::<String>()
    };
    let twice = {
        let halves = records.lines().map(|l| format!("{l}\n{l}\n"));
        HEAD.replace("DATA PERIODS,1,1", "DATA PERIODS,1,2") + &halves.collect::<String>()
    };
    for text in [
        epw().replace('\n', "\r\n"),
        format!("\u{feff}{}", epw()),
        epw() + "\n\n",
        epw().replace("99,999,999,99\n", "99,999,999,99,\n"),
        epw().replace(",.999,999,99,999,999,99\n", "\n"),
        epw().replace("DAYLIGHT SAVINGS,No", "Daylight Saving,"),
        epw().replace("Otter Landing,", "Otter Landing, north bank,"),
        zero_based,
        twice,
    ] {
        let weather = read(&text).unwrap();
        same_figures(&plain, &weather);
        assert!(weather.repairs.is_empty());
    }
    let comma = read(&epw().replace("-71.90,-5.0,310.0", "72.633,5,5,55")).unwrap();
    assert_eq!((comma.station.longitude, comma.station.elevation.si()), (72.633, 55.0));
    assert!(comma.repairs[0].contains("decimal comma"));
}

#[test]
fn a_leap_year_has_its_day() {
    let day: String = (1..=24).map(|h| record(2, 29, h)).collect();
    let third = epw().find("1983,3,1,1,").unwrap();
    let mut leap = epw();
    leap.insert_str(third, &day);
    let leap_years = read(&leap).unwrap();
    assert!((leap_years.months[1].temperature.si() - 2.0).abs() < 1e-9);
    let last = leap.find("1992,12,31,1,").unwrap();
    line_and_words(&leap[..last], 8 + 59 * 24 + 1, "29 February in a file of 8,760 hours");
}

#[test]
fn what_may_be_repaired_is_counted() {
    let told = |text: &str, words: &str| {
        let weather = read(text).unwrap();
        assert!(weather.repairs.iter().any(|r| r.contains(words)), "{words}: {:?}", weather.repairs);
        weather
    };
    let plain = read(&epw()).unwrap();
    same_figures(&plain, &told(&with(&epw(), 100..=105, &[(6, "99.9")]), "6 records without a dry bulb"));
    // Of an afternoon: dew point and humidity both missing, neighbors alike.
    let both = with(&epw(), 21..=23, &[(7, "99.9"), (8, "999")]);
    same_figures(&plain, &told(&both, "3 records without humidity, interpolated"));
    let weather = told(&with(&epw(), 9..=9, &[(7, "99.9"), (8, "50")]), "1 record without a dew point");
    let change = (saturation(1.0) * 0.5 - saturation(-7.0)) / 744.0;
    assert!((weather.months[0].vapor.si() - plain.months[0].vapor.si() - change).abs() < 1e-6);
    let weather = told(&with(&epw(), 9..=9, &[(7, "3.0")]), "1 record with humidity above saturation");
    let change = (saturation(1.0) - saturation(-7.0)) / 744.0;
    assert!((weather.months[0].vapor.si() - plain.months[0].vapor.si() - change).abs() < 1e-6);
    // A true 99 % and a dry bulb at the end of its range survive, the first and the last hour may be missing.
    read(&with(&epw(), 9..=9, &[(8, "99")])).unwrap();
    told(&with(&epw(), 9..=9, &[(6, "99.9")]), "1 record without");
    told(&with(&epw(), 8768..=8768, &[(6, "")]), "1 record without");
    told(&with(&tmy3(), 500..=501, &[(3, "-9900")]), "2 records without a dry bulb");
    told(&epw().replace(",66,95000", ",90,95000"), "differ by more than 5 points");
    let one = read(&(1981..=1992).fold(epw(), |t, y| t.replace(&format!("\n{y},"), "\n2005,"))).unwrap();
    assert!(one.record().contains("one year, 2005"));
}

#[test]
fn what_cannot_be_repaired_is_refused_with_its_line() {
    let text = epw();
    line_and_words("", 1, "no line that a weather file begins with");
    line_and_words(&text.replacen("LOCATION", "ORT", 1), 1, "begins with");
    line_and_words(&text.replacen("GROUND TEMPERATURES", "GROUND", 1), 4, "`GROUND TEMPERATURES` was expected");
    line_and_words(&text.replacen("44.10,", "144.10,", 1), 1, "latitude");
    line_and_words(&text.replacen(",310.0", ",high", 1), 1, "elevation");
    line_and_words("LOCATION,a,b\n", 1, "2 fields");
    line_and_words(&text.replacen("DATA PERIODS,1,1", "DATA PERIODS,1,0", 1), 8, "0 records an hour");
    line_and_words(&with(&text, 700..=706, &[(6, "99.9")]), 706, "no dry bulb for more than 6 hours");
    line_and_words(&with(&text, 700..=700, &[(6, "71")]), 700, "outside of -70 to 70");
    line_and_words(&with(&text, 9..=8768, &[(6, "293.1")]), 9, "outside of -70 to 70");
    line_and_words(&with(&text, 9..=8768, &[(8, "0.7")]), 9, "never above 1");
    line_and_words(&with(&text, 700..=700, &[(8, "111")]), 700, "relative humidity 111");
    line_and_words(&with(&text, 700..=700, &[(6, "warm")]), 700, "`warm` is no number");
    line_and_words(&with(&text, 700..=700, &[(3, "1.5")]), 700, "hour `1.5`");
    line_and_words(&with(&text, 700..=700, &[(6, "5,3"), (7, "4,3")]), 700, "37 columns");
    line_and_words(&with(&text, 8767..=8767, &[(3, "24")]), 8767, "12/31 hour 24 where 12/31 hour 23 was expected");
    line_and_words(&text[..text.find("1992,12,31,1,").unwrap()], 8744, "it ends before 12/31 hour 1");
    line_and_words(&(text.clone() + &record(1, 1, 1)), 8769, "after the last hour");
    line_and_words(&text.replacen("\n1981,1,2,1,", "\n1981,1,3,1,", 1), 33, "1/3 hour 1 where 1/2 hour 1");
    // Scattered gaps, each short, of more than a twentieth of a month.
    let scattered: String = (0..)
        .zip(text.lines())
        .map(|(i, l)| if i < 708 && i % 14 == 8 { l.replacen(",1.0,", ",,", 1) + "\n" } else { l.to_string() + "\n" })
        .collect();
    line_and_words(&scattered, 9, "in 50 of 744 records of month 1");
    let names = tmy3();
    line_and_words(&names.replacen("Dry-bulb (C)", "Dry-bulb (F)", 1), 2, "`Dry-bulb (C)` was expected");
    line_and_words(&names.replacen("Dew-point (C)", "Wet-bulb (C)", 1), 2, "no column `Dew-point (C)`");
    line_and_words(&names.replacen("01/01/1981", "1981-01-01", 1), 3, "no date");
    line_and_words(&names.replacen("01:00", "01:30", 1), 3, "no full hour");
    line_and_words(&format!("LOCATION,{}", "x".repeat(70_000)), 1, "64 KiB");
    assert_eq!(refused(&"LOCATION\n".repeat(200_001)).line, None);
}

/// A job whose climate stanza has these lines; the file is the one above.
fn job(lines: &str, text: &str) -> Review {
    let root = format!("job mill\n  place landing\n  heated 70 F 40 %\n\nclimate landing\n{lines}");
    let input = Input { name: "mill.dew".to_string(), text: root };
    review(vec![input], &mut |from, path| {
        assert_eq!(from, "mill.dew");
        match path {
            Ask::File("otter.epw") => Ok(Input { name: path.to_string(), text: text.to_string() }),
            _ => Err("no such file".to_string()),
        }
    })
}

#[test]
fn a_climate_says_what_its_months_are() {
    let done = job("  file \"otter.epw\" \"of the station\"\n  rainfall 1000 mm\n", &epw());
    let report = &done.reports[0];
    assert!(report.findings.is_empty(), "{:?}", report.findings);
    let line = report.job.as_ref().unwrap();
    assert_eq!((line.place.as_str(), line.metric), ("landing (Otter Landing, ZZ, USA)", false));
    assert!(line.climate.starts_with("otter.epw, typical year"), "{}", line.climate);
    assert!(line.zone.as_ref().unwrap().contains("computed"));
    let repaired = job("  file otter.epw\n", &with(&epw(), 100..=101, &[(6, "99.9")]));
    assert!(repaired.reports[0].job.as_ref().unwrap().climate.contains("repaired: 2 records"));
}

#[test]
fn what_contradicts_a_file_is_told() {
    let messages = |lines: &str, text: &str| {
        let findings = job(lines, text).reports.remove(0).findings;
        findings.iter().map(|f| format!("{}: {} ({})", f.rule, f.message, f.detail)).collect::<Vec<_>>().join("\n")
    };
    let twelve = "1 2 3 4 5 6 7 8 9 10 11 12";
    for (line, word) in [
        ("like albany-ny-us".to_string(), "`like` and `file`"),
        (format!("temperature {twelve} C"), "`temperature` and `file`"),
        (format!("humidity {twelve} %"), "`humidity` and `file`"),
        ("file otter.epw".to_string(), "one weather file"),
    ] {
        let told = messages(&format!("  file otter.epw\n  {line}\n"), &epw());
        assert!(told.lines().count() == 1 && told.contains("contradiction") && told.contains(word), "{told}");
    }
    let told = messages("  file otter.epw\n", &with(&epw(), 700..=700, &[(6, "99")]));
    assert!(told.contains("`otter.epw` line 700 can't be read as weather") && told.lines().count() == 1, "{told}");
    let told = messages("  file heron.epw\n", "");
    assert!(told.contains("`heron.epw` can't be read") && told.lines().count() == 1, "{told}");
    assert!(messages("  file\n", "").contains("incomplete"));
    assert!(messages("  file \"\"\n", "").contains("an empty path"));
}

type File = (&'static str, [f64; 12], [f64; 12], [f64; 12], (f64, f64), u8);

/// Means of four whole files by pvlib 0.16.1 and pandas 3.1 (two TMY3 samples of pvlib; EPW of Chicago and Helsinki as
/// published with open simulation packages): T in C, dew point in C, vapor in Pa, degree days below 65 F and above 10 C.
const FILES: [File; 4] = [
    (
        "Greensboro NC",
        [0.332, 5.030, 11.414, 14.685, 19.032, 23.592, 25.433, 24.761, 20.076, 13.120, 10.821, 4.229],
        [-5.667, -1.917, 3.895, 6.119, 12.211, 18.804, 19.820, 19.564, 15.440, 8.634, 3.285, -2.656],
        [455.1, 624.4, 897.1, 1010.8, 1504.8, 2182.4, 2334.3, 2287.9, 1803.9, 1189.6, 857.7, 572.6],
        (2153.2, 2381.2),
        4,
    ),
    (
        "Sand Point AK",
        [0.640, 1.200, 1.652, 2.092, 3.185, 8.056, 11.807, 11.877, 7.909, 4.491, 0.438, -0.585],
        [-1.876, -4.128, -2.098, -2.439, -0.863, 4.050, 6.053, 8.367, 3.382, 0.081, -4.486, -4.945],
        [553.0, 487.9, 549.7, 535.1, 585.5, 826.1, 943.0, 1108.9, 797.9, 637.9, 461.6, 461.4],
        (5078.1, 128.3),
        7,
    ),
    (
        "Chicago IL",
        [-4.647, -2.520, 3.824, 9.951, 15.310, 21.109, 24.135, 21.774, 18.134, 10.981, 4.732, -3.686],
        [-9.405, -8.153, -1.483, 3.998, 7.204, 12.963, 18.655, 16.572, 12.888, 4.954, 0.403, -7.650],
        [352.4, 382.3, 582.6, 897.3, 1074.4, 1557.2, 2182.9, 1925.4, 1523.3, 901.3, 758.0, 374.6],
        (3514.0, 1743.4),
        5,
    ),
    (
        "Helsinki",
        [-3.861, -5.675, -0.998, 3.671, 9.855, 14.006, 16.703, 15.751, 10.244, 5.856, -1.264, -2.973],
        [-5.405, -7.499, -3.308, -0.777, 2.126, 8.076, 10.216, 11.590, 7.062, 3.163, -2.997, -4.739],
        [445.4, 377.7, 493.7, 598.4, 742.7, 1110.1, 1277.9, 1382.7, 1030.1, 790.0, 517.4, 450.8],
        (4827.7, 577.2),
        6,
    ),
];

#[test]
fn files_of_real_places_have_their_zones_and_degree_days() {
    let weather = |temperatures: [f64; 12], degree_days, rain| ZoneWeather {
        temperatures: temperatures.map(Temperature::new),
        degree_days,
        rain,
        southern: false,
    };
    for (name, temperatures, dews, vapors, (heating, cooling), number) in FILES {
        assert_eq!(
            zone_from(&weather(temperatures, Some((heating, cooling)), ZoneRain::Unknown)).number,
            number,
            "{name}"
        );
        // From the means alone: within what is promised of the estimate for months that are means; these are single months.
        let (h, c) = degree_days(&temperatures.map(Temperature::new));
        assert!((h - heating).abs() < 100.0 && (c - cooling).abs() < 100.0, "{name}: {h} {c}");
        // The pressure at a month's mean dew point is lower than the mean pressure in every month.
        for (dew, vapor) in dews.into_iter().zip(vapors) {
            let low = saturation(dew) / vapor;
            assert!((0.8..1.0).contains(&low), "{name}: {low}");
        }
    }
}

#[test]
fn a_zone_gets_its_letter_from_the_rain_of_a_year() {
    let zone = |rain: &str| {
        let done = job(&format!("  file otter.epw\n{rain}"), &epw());
        done.reports[0].job.as_ref().unwrap().zone.clone().unwrap()
    };
    // A mean of 6.5 C: dry below 20 (6.5 + 14) = 410 mm at most and 130 mm at least, by the season of the rain.
    let mean = read(&epw()).unwrap().months.iter().map(|m| m.temperature.si()).sum::<f64>() / 12.0;
    assert!((mean - 6.5).abs() < 1e-9);
    for (rain, letter) in
        [("", ""), ("  rainfall 129 mm\n", "B"), ("  rainfall 131 mm\n", ""), ("  rainfall 409 mm\n", "")]
    {
        assert!(zone(rain).starts_with(&format!("6{letter} (")), "{rain}: {}", zone(rain));
    }
    assert!(zone("  rainfall 411 mm\n").starts_with("6A ("));
    assert!(zone("  rainfall 129 mm\n  zone 6A\n").starts_with("6A (as written"));
    // Where the letter of a year's rain is told, it is that of the twelve months, of every place that has them.
    let mut told = 0;
    for place in catalog::places() {
        let months = place.zone_weather();
        let (ZoneRain::Months(_), Some(rain)) = (months.rain, place.yearly_rain()) else { continue };
        let (full, year) = (zone_from(&months), zone_from(&ZoneWeather { rain: ZoneRain::Year(rain), ..months }));
        assert_eq!(full.number, year.number);
        if let (Some('A' | 'B'), Some(letter @ ('A' | 'B'))) = (full.letter, year.letter) {
            assert_eq!(full.letter, Some(letter), "{}", place.key);
            told += 1;
        }
    }
    assert!(told > 100, "{told}");
}

#[test]
fn a_climate_written_by_hand_has_a_zone_too() {
    let text = "job hall\n  place fell\n  heated 20 C 40 %\nclimate fell\n  rainfall 900 mm\n  temperature -8 -8 -4 2 8 12 14 13 \
                8 3 -2 -6 C\n  humidity 85 85 80 75 70 70 72 75 80 85 88 88 %\n";
    let done = review(vec![Input { name: "hall.dew".into(), text: text.into() }], &mut |_, p| Err(p.to_string()));
    let zone = done.reports[0].job.as_ref().unwrap().zone.clone().unwrap();
    assert!(zone.starts_with("7 (computed"), "{zone}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_weather_text_panics(text in "(LOCATION|[0-9]{6}|\u{feff})?[ -~\u{e9}\r\n\"]{0,300}", cut in 0..700_usize) {
        prop_assert!(read(&text).is_err());
        let lines = HEAD.to_string() + &record(1, 1, 1) + &text;
        prop_assert!(read(lines.get(..cut.min(lines.len())).unwrap_or("")).is_err());
        prop_assert!(read(&lines).is_err());
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_year_with_one_odd_field_is_read_or_refused(
        line in 1..=8768_usize,
        field in 0..35_usize,
        new in prop_oneof!["[ -~]{0,8}", "-?[0-9]{1,5}(\\.[0-9])?", Just("NaN".to_string()), Just("1e999".to_string())],
    ) {
        let whole = epw();
        let fields = whole.lines().nth(line - 1).unwrap().split(',').count();
        if let Ok(weather) = read(&with(&whole, line..=line, &[(field.min(fields - 1), &new)])) {
            let fine = |m: &dewlap::weather::Month| m.temperature.is_finite() && m.vapor.si() > 0.0;
            prop_assert!(weather.months.iter().all(fine));
        }
    }
}
