"""Reference values for the unit tests of src/practice/agreement, from SciPy, Pingouin and statsmodels.

Run: python tests/reference/agreement.py > tests/reference/agreement.txt
"""

import numpy as np
import pandas as pd
import pingouin as pg
import scipy
import scipy.stats as st
import statsmodels
from statsmodels.stats.inter_rater import cohens_kappa

# Bland & Altman 1986 and Shrout & Fleiss 1979, as in src/practice/agreement/mod.rs.
PEAK_FLOW = np.array([
    [494, 490, 512, 525], [395, 397, 430, 415], [516, 512, 520, 508], [434, 401, 428, 444], [476, 470, 500, 500],
    [557, 611, 600, 625], [413, 415, 364, 460], [442, 431, 380, 390], [650, 638, 658, 642], [433, 429, 445, 432],
    [417, 420, 432, 420], [656, 633, 626, 605], [267, 275, 260, 227], [478, 492, 477, 467], [178, 165, 259, 268],
    [423, 372, 350, 370], [427, 421, 451, 443]], float)
JUDGES = np.array([[9, 2, 5, 8], [6, 1, 3, 2], [8, 4, 6, 8], [7, 1, 2, 6], [10, 5, 6, 9], [6, 2, 4, 7]], float)


def line(name, values):
    print(name, " ".join(f"{float(v):.12g}" for v in values))


def icc(table):
    n, k = table.shape
    rows = [(i, j, table[i, j]) for i in range(n) for j in range(k)]
    frame = pd.DataFrame(rows, columns=["subject", "reader", "value"])
    found = pg.intraclass_corr(data=frame, targets="subject", raters="reader", ratings="value")
    out = []
    for row in range(3):
        out.append(found["ICC"].iloc[row])
        out.extend(found["CI95" if "CI95" in found else "CI95%"].iloc[row])
    return out


def main():
    print(f"# scipy {scipy.__version__} pingouin {pg.__version__} statsmodels {statsmodels.__version__}")
    difference = PEAK_FLOW[:, 0] - PEAK_FLOW[:, 2]
    bias, sd, n = difference.mean(), difference.std(ddof=1), len(difference)
    ci = st.ttest_1samp(difference, 0).confidence_interval(0.95)
    line("bland_altman", [bias, sd, bias - 1.96 * sd, bias + 1.96 * sd, ci.low])
    line("within", [np.sqrt(PEAK_FLOW[:, f:f + 2].var(axis=1, ddof=1).mean()) for f in (0, 2)])
    line("quantiles", [st.t.ppf(0.975, 16), st.t.ppf(0.975, 1), st.f.ppf(0.975, 5, 18), st.f.ppf(0.975, 15, 5),
                       st.f.ppf(0.975, 5, 4.786)])
    line("icc_judges", icc(JUDGES))
    line("icc_peak_flow", icc(PEAK_FLOW))
    for name, table in (("two", [[20, 5], [10, 15]]), ("three", [[44, 5, 1], [7, 20, 3], [9, 5, 6]])):
        found = cohens_kappa(np.array(table))
        line(f"kappa_{name}", [found.kappa, found.kappa_low, found.kappa_upp])


if __name__ == "__main__":
    main()
