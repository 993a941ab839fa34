//! The few statistics of an audit: an exact binomial test, Wilson's interval, chi-squared on five classes.

/// Normal quantile of a two-sided 95 % interval.
const Z: f64 = 1.959_963_984_540_054;

/// Wilson's 95 % interval of a share, `part` of `whole` (Wilson, J Am Stat Assoc 1927;22:209-212); none of none.
pub fn wilson(part: usize, whole: usize) -> Option<(f64, f64)> {
    if whole == 0 || part > whole {
        return None;
    }
    let (n, p) = (whole as f64, part as f64 / whole as f64);
    let centre = p + Z * Z / (2.0 * n);
    let reach = Z * (p * (1.0 - p) / n + Z * Z / (4.0 * n * n)).sqrt();
    let under = 1.0 + Z * Z / n;
    Some((((centre - reach) / under).max(0.0), ((centre + reach) / under).min(1.0)))
}

/// Probability of exactly `k` of `n` where each has the chance `p`, by logarithms.
fn chance(k: usize, n: usize, p: f64) -> f64 {
    let factorial = |n: usize| libm::lgamma(n as f64 + 1.0);
    let ways = factorial(n) - factorial(k) - factorial(n - k);
    (ways + k as f64 * p.ln() + (n - k) as f64 * (1.0 - p).ln()).exp()
}

/// Two-sided exact binomial test: the chance of a count no likelier than `part` of `whole` where each has the
/// chance `p` (0 < p < 1). None of none.
pub fn binomial(part: usize, whole: usize, p: f64) -> Option<f64> {
    if whole == 0 || part > whole {
        return None;
    }
    let own = chance(part, whole, p) * (1.0 + 1e-7);
    let sum: f64 = (0..=whole).map(|k| chance(k, whole, p)).filter(|c| *c <= own).sum();
    Some(sum.min(1.0))
}

/// Pearson's chi-squared of five counts against equal shares, and its chance with four degrees of freedom,
/// which has the closed form e^(-x/2) (1 + x/2). None where fewer than five a class are expected (Cochran's rule).
pub fn five_equal(counts: [usize; 5]) -> Option<(f64, f64)> {
    let expected = counts.iter().sum::<usize>() as f64 / 5.0;
    if expected < 5.0 {
        return None;
    }
    let x: f64 = counts.iter().map(|n| (*n as f64 - expected).powi(2) / expected).sum();
    Some((x, (-x / 2.0).exp() * (1.0 + x / 2.0)))
}

/// Quartiles by linear interpolation between order statistics (type 7 of Hyndman and Fan, Am Stat 1996;50:361).
pub fn quartiles(values: &[f64]) -> Option<[f64; 3]> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let last = sorted.len().checked_sub(1)?;
    Some([0.25, 0.5, 0.75].map(|part| {
        let at = part * last as f64;
        let low = at.floor() as usize;
        let high = (low + 1).min(last);
        sorted[low] + (at - low as f64) * (sorted[high] - sorted[low])
    }))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(a: f64, b: f64) {
        assert!((a - b).abs() <= 1e-9 * b.abs(), "{a} {b}");
    }

    /// SciPy 1.17.1, NumPy 2.4.6: `stats.binomtest(k, n, 0.2).pvalue` and `.proportion_ci(method="wilson")`,
    /// `stats.chisquare`, `numpy.percentile`.
    #[test]
    fn agrees_with_scipy() {
        for (k, n, p, low, high) in [
            (0, 10, 0.22824806400000008, 0.0, 0.27753279986288926),
            (20, 100, 1.0, 0.1333669333310325, 0.2888291655931589),
            (45, 100, 1.962284625199643e-08, 0.35614537979511984, 0.5475539700275787),
            (9, 12, 6.219776000000003e-05, 0.46769466506643426, 0.9110583316059453),
            (250, 500, 1.664247239299929e-50, 0.4563412653024843, 0.5436587346975157),
        ] {
            close(binomial(k, n, 0.2).unwrap(), p);
            let (a, b) = wilson(k, n).unwrap();
            close(a, low);
            close(b, high);
        }
        let (x, p) = five_equal([30, 12, 9, 14, 15]).unwrap();
        close(x, 16.625);
        close(p, 0.0022855640952279643);
        assert_eq!(quartiles(&[3.0, 1.0, 4.0, 1.0, 5.0, 9.0, 2.0, 6.0]), Some([1.75, 3.5, 5.25]));
    }

    #[test]
    fn nothing_has_no_statistic() {
        assert_eq!((wilson(0, 0), binomial(0, 0, 0.2), quartiles(&[])), (None, None, None));
        assert_eq!(five_equal([4, 4, 4, 4, 4]), None);
        assert_eq!(quartiles(&[3.0]), Some([3.0; 3]));
    }
}
