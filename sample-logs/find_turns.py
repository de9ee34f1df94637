#!/usr/bin/env python3
"""Where does the principal direction of a cell turn? An example of a script of one's own on a strain log.

    underplate derive release.strain.csv --output /tmp/release.csv
    python3 find_turns.py release.strain.csv /tmp/release.csv

Reads a log and what `underplate derive` made of it, and prints one line for each lasting turn:

    release.strain.csv:1822: warning: principal direction of A1_up turns by 14 degrees from layer 44 on

Such lines are clickable in the terminal, and land in Problems through the problem matcher `$underplate-script`.
Needs pandas and astropy (Debian: python3-pandas, python3-astropy). It is an example, not the detection: it compares
the layers before with the layers after, so it sees a turn only some layers later.
"""

import argparse

import numpy as np
import pandas as pd
from astropy.table import Table


def axial_mean(degrees):
    """Mean of directions that mean the same after half a turn, and how well it is known, both in degrees.

    Twice the angle makes them ordinary directions (Mardia & Jupp, Directional Statistics, 2000, 9.4).
    """
    doubled = np.radians(2 * degrees.dropna().to_numpy())
    if len(doubled) < 2:
        return np.nan, np.nan
    c, s = np.cos(doubled).mean(), np.sin(doubled).mean()
    length = min(np.hypot(c, s), 1.0)
    spread = np.sqrt(-2 * np.log(length)) if length > 0 else np.pi
    return np.degrees(np.arctan2(s, c)) / 2, np.degrees(spread) / 2 / np.sqrt(len(doubled))


def turn_between(before, after):
    """The smaller way round, from -90 to 90 degrees."""
    return (after - before + 90) % 180 - 90


def turns(directions, layers, span, least):
    """Layers from which on the mean direction of `span` layers differs from that of the `span` before."""
    means = directions.groupby(layers).apply(axial_mean)
    found = []
    for at in range(span, len(means) - span + 1):
        before = axial_mean(pd.Series([mean for mean, _ in means.iloc[at - span : at]]))
        after = axial_mean(pd.Series([mean for mean, _ in means.iloc[at : at + span]]))
        turn = turn_between(before[0], after[0])
        if abs(turn) >= least and abs(turn) > 4 * np.hypot(before[1], after[1]):
            found.append((means.index[at], turn))
    # Neighbouring layers see the same turn: the largest of each run is told.
    runs = []
    for layer, turn in found:
        if runs and layer - runs[-1][-1][0] <= span:
            runs[-1].append((layer, turn))
        else:
            runs.append([(layer, turn)])
    return [max(run, key=lambda one: abs(one[1])) for run in runs]


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("log", help="the strain log")
    parser.add_argument("derived", help="what `underplate derive` wrote of it, as CSV")
    parser.add_argument("--least", type=float, default=10, help="smallest turn told, degrees (10)")
    parser.add_argument("--span", type=int, default=5, help="layers before and after that are compared (5)")
    parser.add_argument("--shear", type=float, default=15, help="shear strain below which no direction counts, um/m (15)")
    options = parser.parse_args()

    # astropy knows the units of the header, pandas is quick with the rows.
    units = Table.read(options.derived, format="ascii.ecsv").columns
    derived = pd.read_csv(options.derived, comment="#")
    log = pd.read_csv(options.log, comment="#")
    with open(options.log, encoding="utf-8-sig") as lines:
        names_line = next(number for number, line in enumerate(lines, 1) if not line.startswith("#"))

    for column in derived.columns[derived.columns.str.endswith("_dir")]:
        if str(units[column].unit) != "deg":
            raise SystemExit(f"{options.derived}: {column} should be in deg, not {units[column].unit}")
        name = column[: -len("_dir")]
        # Where there is hardly any shear, noise alone turns the direction about.
        directions = derived[column].where(derived[f"{name}_gmax"] >= options.shear)
        for layer, turn in turns(directions, derived["layer"], options.span, options.least):
            first_row = log.index[log["layer"] == layer][0]
            print(
                f"{options.log}:{names_line + 1 + first_row}: warning: "
                f"principal direction of {name} turns by {abs(turn):.0f} degrees from layer {layer} on"
            )


if __name__ == "__main__":
    main()
