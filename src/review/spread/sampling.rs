//! Latin hypercube samples: each input runs through all its equal slices once, in an order of its own.
//!
//! Invariant: the table depends on the seed and its size alone, and adding an input leaves those before it as they are.

use crate::base::random::Random;

/// One column an input, one share (0 to 1) a sample.
pub(super) fn columns(inputs: usize, samples: usize, seed: u64) -> Vec<Vec<f64>> {
    let mut random = Random::new(seed);
    (0..inputs).map(|_| column(samples, &mut random)).collect()
}

fn column(samples: usize, random: &mut Random) -> Vec<f64> {
    let mut shares: Vec<f64> = (0..samples).map(|i| (i as f64 + random.share()) / samples as f64).collect();
    random.shuffle(&mut shares);
    shares
}

/// How a yes-or-no answer leans on an input: the mean share where it is yes, less the mean where it is no, doubled.
///
/// An answer that turns at one point of one input alone gives 1 or -1 wherever that point lies: the two means are then
/// half the range apart. 0 for an input that has no say. None where the difference is within four standard errors of a
/// uniform share (`0.289 sqrt(1/yes + 1/no)`), so that chance is not told as a cause.
pub(super) fn lean(column: &[f64], answers: &[Option<bool>]) -> Option<f64> {
    let mean = |wanted: bool| {
        let of = column.iter().zip(answers).filter(|(_, a)| **a == Some(wanted)).map(|(share, _)| *share);
        let (sum, count) = of.fold((0.0, 0.0), |(sum, count), share| (sum + share, count + 1.0));
        (count > 0.0).then_some((sum / count, count))
    };
    let ((yes, many), (no, few)) = (mean(true)?, mean(false)?);
    let error = (1.0 / 12.0 * (1.0 / many + 1.0 / few)).sqrt();
    let apart: f64 = yes - no;
    (apart.abs() > 4.0 * error).then_some(2.0 * apart)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_slice_is_met_once() {
        let table = columns(3, 50, 9);
        for column in &table {
            let mut slices: Vec<usize> = column.iter().map(|s| (s * 50.0) as usize).collect();
            slices.sort_unstable();
            assert_eq!(slices, (0..50).collect::<Vec<_>>());
        }
        assert_eq!(table.first(), columns(1, 50, 9).first());
        assert_ne!(table.first(), columns(1, 50, 10).first());
    }

    #[test]
    fn an_input_that_alone_decides_leans_fully_and_an_idle_one_not_at_all() {
        // Yes above 0.7: the means are 0.85 and 0.35, half the range apart.
        let table = columns(2, 1000, 4);
        let (acts, idle) = (&table[0], &table[1]);
        let answers: Vec<Option<bool>> = acts.iter().map(|s| Some(*s > 0.7)).collect();
        assert_eq!(answers.iter().filter(|a| **a == Some(true)).count(), 300);
        assert!((lean(acts, &answers).unwrap() - 1.0).abs() < 0.01);
        assert_eq!(lean(idle, &answers), None);
        assert_eq!(lean(acts, &vec![Some(true); 1000]), None);
    }
}
