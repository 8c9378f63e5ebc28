"""Tells composed walking bass lines from professional ones, and says by what.

    python tell_apart.py PLAYERS COMPOSED...

PLAYERS holds `excerpt-07a.chart` and `excerpt-07a.line.txt`: the number is the tune's. Each folder
COMPOSED holds lines over the same charts, `excerpt-07a.SEED.line.txt`, as `compose_over.py` makes
them. Without arguments, one JSON object a line is read: {"players": folder, "composed": folder}.

Standard output has one JSON object a line for each folder COMPOSED, standard error a table of it
with the twenty most telling figures. It takes a minute or two a folder of ten seeds.

Windows of four bars are told apart by the marks of `walking_marks.py`: a random forest and a
logistic regression, half each, both with the same weight for players and composer in every tune.
A window is always judged by those that never saw its tune. AUC: how often a player's window is
held for more of a player's than a composed one; 0.5 is chance, 1.0 never wrong. Its 95 %
interval is by resampling tunes. Two checks of this check must come out near 0.5: players against
themselves, by the halves of each tune, and composed lines against themselves, by halves of the
seeds; which half is which, a coin says for each tune. (The same seeds in every tune would not do:
a seed plans alike over all charts.)

A composer that was fitted to these players looks better here than it is: what it took from a tune
is in all its lines, and makes the player of that tune look composed, for those who have not seen
him. Fit it to some tunes, and name a folder of others here.

What tells: the log-odds of the regression are a sum over figures, so each has its share in how
far players and composer lie apart on tunes it never saw; a share below nothing draws them
together. Rates are those of the windows, which overlap. `alone`: AUC of that figure only (from 0.5
up, whichever way it points), or of a regression over that family only.
"""

import json
import sys
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from sklearn.ensemble import RandomForestClassifier
from sklearn.linear_model import LogisticRegression
from sklearn.metrics import roc_auc_score
from sklearn.model_selection import LeaveOneGroupOut
from threadpoolctl import threadpool_limits
from walking_lines import BEATS, Unread, read_charts, read_folder
from walking_marks import FAMILIES, Played, of_window

BARS = 4
STEP = 2
RESAMPLED = 1000
COINS = 6
SHOWN = 20


class Questions:
    """Every question that was put, numbered as they came."""

    def __init__(self):
        self.numbers = {}
        self.families = []
        self.words = []
        # Whether it is answered by yes and no.
        self.share = []

    def number(self, family, words, answer):
        number = self.numbers.setdefault((family, words), len(self.numbers))
        if number == len(self.words):
            self.families.append(family)
            self.words.append(words)
            self.share.append(isinstance(answer, bool))
        return number

    def of(self, *families):
        return np.isin(self.families, families)


@dataclass
class Windows:
    """Windows of lines: a row for each, with the sum of its answers and how many there are."""

    tunes: np.ndarray
    charts: np.ndarray
    seeds: np.ndarray
    sums: np.ndarray
    counts: np.ndarray

    def where(self, keep):
        return Windows(*(column[keep] for column in vars(self).values()))

    def wide(self, questions):
        """The same with a column for every question, also those that were put later."""
        more = ((0, 0), (0, len(questions.words) - self.sums.shape[1]))
        return Windows(self.tunes, self.charts, self.seeds, np.pad(self.sums, more), np.pad(self.counts, more))

    def figures(self):
        return np.divide(self.sums, self.counts, out=np.full(self.sums.shape, np.nan), where=self.counts > 0)


def starts(bars):
    """The first bars of the windows; the last window ends with the line."""
    if bars < BARS:
        return []
    return sorted({*range(0, bars - BARS + 1, STEP), bars - BARS})


def answers(line, questions):
    """For each window of a line: question -> [sum of the answers, how many]."""
    played = Played(line.bars)
    by_note = [
        [(questions.number(family.name, *mark), float(mark[1])) for family in FAMILIES for mark in family.marks(played, at)]
        for at in range(len(played.notes))
    ]
    for start in starts(len(line.bars)):
        span = slice(start * BEATS, (start + BARS) * BEATS)
        found = {}
        whole = [(questions.number("register", *mark), mark[1]) for mark in of_window(played.notes[span])]
        for number, answer in [*sum(by_note[span], []), *whole]:
            entry = found.setdefault(number, [0.0, 0])
            entry[0] += answer
            entry[1] += 1
        yield found


def windows(lines, questions):
    rows = [(line, found) for line in lines for found in answers(line, questions)]
    sums = np.zeros((len(rows), len(questions.words)))
    counts = np.zeros_like(sums)
    for row, (_, found) in enumerate(rows):
        for number, (total, count) in found.items():
            sums[row, number], counts[row, number] = total, count
    names = [np.array([getattr(line, name) for line, _ in rows]) for name in ("tune", "chart", "seed")]
    return Windows(*names, sums, counts)


def even(tunes, first):
    """Weights of windows, so that both sides weigh the same in every tune."""
    weights = np.ones(len(tunes))
    for tune in np.unique(tunes):
        here = tunes == tune
        weights[here & ~first] = np.sum(here & first) / np.sum(here & ~first)
    return weights


def level(figures, train, weights):
    """Figures from a mean of 0 and a spread of 1 over the windows of `train`; 0 where nothing was asked."""
    weighed = np.where(np.isnan(figures[train]), 0, weights[train, None])
    total = np.maximum(weighed.sum(axis=0), 1e-9)
    mean = np.nansum(figures[train] * weighed, axis=0) / total
    spread = np.sqrt(np.nansum((figures[train] - mean) ** 2 * weighed, axis=0) / total)
    return np.nan_to_num((figures - mean) / np.where(spread > 1e-9, spread, 1))


def held_out(figures, first, tunes, forest=True):
    """For each window: how likely it is of the first side, and the part of each figure in the log-odds.

    Both are said by classifiers that have not seen its tune; the parts by the regression alone.
    """
    weights = even(tunes, first)
    likely, parts = np.zeros(len(first)), np.zeros(figures.shape)
    for train, test in LeaveOneGroupOut().split(figures, first, tunes):
        levelled = level(figures, train, weights)
        voters = [LogisticRegression(C=0.03, solver="newton-cholesky")]
        if forest:
            voters.append(RandomForestClassifier(100, min_samples_leaf=3, random_state=0))
        for voter in voters:
            voter.fit(levelled[train], first[train], sample_weight=weights[train])
            likely[test] += voter.predict_proba(levelled[test])[:, 1] / len(voters)
        parts[test] = levelled[test] * voters[0].coef_[0]
    return likely, parts


def auc(first, likely, tunes):
    return roc_auc_score(first, likely, sample_weight=even(tunes, first))


def interval(first, likely, tunes):
    """The 95 % interval of the AUC, by resampling tunes."""
    dice = np.random.default_rng(1)
    weights = even(tunes, first)
    names, tune = np.unique(tunes, return_inverse=True)
    found = []
    for _ in range(RESAMPLED):
        times = np.bincount(dice.integers(len(names), size=len(names)), minlength=len(names))
        found.append(roc_auc_score(first, likely, sample_weight=weights * times[tune]))
    return np.percentile(found, [2.5, 97.5])


def judged(figures, first, tunes):
    """The AUC with its interval, and the held-out parts."""
    likely, parts = held_out(figures, first, tunes)
    low, high = interval(first, likely, tunes)
    said = {"auc": rounded(auc(first, likely, tunes)), "low": rounded(low), "high": rounded(high)}
    return said, likely, parts


def apart(side, halves, dice):
    """The AUC of one side against itself, by halves of each tune; a coin says which half is which."""
    first = np.zeros(len(side.tunes), dtype=bool)
    for tune in np.unique(side.tunes):
        first[halves(side, np.flatnonzero(side.tunes == tune))[dice.integers(2)]] = True
    return auc(first, held_out(side.figures(), first, side.tunes)[0], side.tunes)


def players_apart(players):
    """Players against themselves: the first half of each tune's windows against the second."""
    dice = np.random.default_rng(2)
    found = [apart(players, lambda _, here: np.array_split(here, 2), dice) for _ in range(COINS)]
    return {"mean": rounded(np.mean(found)), "lowest": rounded(min(found)), "highest": rounded(max(found))}


def composed_apart(composed):
    """Composed lines against themselves, half of each tune's seeds against the others; none of one seed."""
    dice = np.random.default_rng(3)

    def halves(side, here):
        seeds = dice.permutation(np.unique(side.seeds[here]))
        chosen = np.isin(side.seeds[here], seeds[: len(seeds) // 2])
        return here[chosen], here[~chosen]

    one = any(len(np.unique(composed.seeds[composed.tunes == tune])) < 2 for tune in composed.tunes)
    return None if one else rounded(apart(composed, halves, dice))


def rounded(number):
    return round(float(number), 4)


def alone(figure, first, tunes):
    """The AUC of one figure, whichever way it points; windows without an answer lie in the middle."""
    found = auc(first, np.where(np.isnan(figure), np.nanmedian(figure), figure), tunes)
    return max(found, 1 - found)


def shares(parts, first, tunes):
    """The share of each figure in how far the two sides lie apart."""
    weights = even(tunes, first)
    sides = [np.average(parts[side], axis=0, weights=weights[side]) for side in (first, ~first)]
    gap = sides[0] - sides[1]
    return gap / gap.sum()


def telling_families(figures, first, tunes, share, questions):
    found = []
    for family in FAMILIES:
        mine = questions.of(family.name)
        likely, _ = held_out(figures[:, mine], first, tunes, forest=False)
        found.append({"family": family.name, "share": rounded(share[mine].sum()), "alone": rounded(auc(first, likely, tunes))})
    return sorted(found, key=lambda family: -family["share"])


def together(players, composed):
    """The figures of both sides, which rows are the players', and the tunes of the rows."""
    figures = np.vstack([players.figures(), composed.figures()])
    tunes = np.concatenate([players.tunes, composed.tunes])
    return figures, np.arange(len(tunes)) < len(players.tunes), tunes


def telling_figures(players, composed, share, questions):
    """Every figure that both sides have, the most telling first."""
    figures, first, tunes = together(players, composed)
    asked = [side.counts.sum(axis=0) for side in (players, composed)]
    return [
        {
            "figure": questions.words[number],
            "family": questions.families[number],
            "unit": "share" if questions.share[number] else "number",
            "players": rounded(players.sums[:, number].sum() / asked[0][number]),
            "composed": rounded(composed.sums[:, number].sum() / asked[1][number]),
            "alone": rounded(alone(figures[:, number], first, tunes)),
            "share": rounded(share[number]),
        }
        for number in np.argsort(-share, kind="stable")
        if asked[0][number] and asked[1][number]
    ]


def compare(players, composed, questions):
    """What is said of one folder, but for the players against themselves."""
    both = np.intersect1d(players.charts, composed.charts)
    if len(np.unique(players.tunes[np.isin(players.charts, both)])) < 3:
        raise Unread("three tunes at least must have lines of both sides, of four bars or more")
    players, composed = (side.where(np.isin(side.charts, both)) for side in (players, composed))
    figures, first, tunes = together(players, composed)
    said, likely, parts = judged(figures, first, tunes)
    heard = questions.of(*(family.name for family in FAMILIES if not family.chords))
    unchorded, _, _ = judged(figures[:, heard], first, tunes)
    share = shares(parts, first, tunes)
    return {
        **said,
        "without_chords": unchorded,
        "composed_apart": composed_apart(composed),
        "by_tune": {tune: rounded(roc_auc_score(first[tunes == tune], likely[tunes == tune])) for tune in np.unique(tunes)},
        "windows": {"players": len(players.tunes), "composed": len(composed.tunes)},
        "charts": list(both),
        "families": telling_families(figures, first, tunes, share, questions),
        "figures": telling_figures(players, composed, share, questions),
    }


def table(name, said):
    def figure(row, side):
        return f"{100 * row[side]:6.1f} %" if row["unit"] == "share" else f"{row[side]:6.2f}  "

    chordless, themselves = said["without_chords"], said["players_apart"]
    hardest = sorted(said["by_tune"].items(), key=lambda tune: tune[1])[:3]
    seeds = "not asked" if said["composed_apart"] is None else f"{said['composed_apart']:.2f}"
    rows = [
        f"{name}: AUC {said['auc']:.3f} ({said['low']:.3f} to {said['high']:.3f}); without a look at the chords "
        f"{chordless['auc']:.3f} ({chordless['low']:.3f} to {chordless['high']:.3f})",
        f"  windows: {said['windows']['players']} played, {said['windows']['composed']} composed, "
        f"of {len(said['by_tune'])} tunes; hardest: " + ", ".join(f"{tune} {found:.2f}" for tune, found in hardest),
        f"  near 0.5 if all is well: players against themselves {themselves['mean']:.2f} "
        f"({themselves['lowest']:.2f} to {themselves['highest']:.2f}), seeds against seeds {seeds}",
    ]
    if said["left_out"]:
        rows.append(f"  left out, too short or not composed: {', '.join(said['left_out'])}")
    rows.append(f"  {'family':<58} {'share':>7} {'alone':>6}")
    rows += [f"  {row['family']:<58} {100 * row['share']:5.1f} % {row['alone']:6.3f}" for row in said["families"]]
    rows.append(f"  {'figure':<58} {'share':>7} {'alone':>6} {'players':>9} {'composed':>9}")
    rows += [
        f"  {row['figure']:<58} {100 * row['share']:5.1f} % {row['alone']:6.3f} "
        f"{figure(row, 'players'):>9} {figure(row, 'composed'):>9}"
        for row in said["figures"][:SHOWN]
    ]
    return "\n".join(rows)


def asked():
    """Pairs of folders, from the command line or from standard input."""
    if len(sys.argv) == 1:
        return [(row["players"], row["composed"]) for row in map(json.loads, sys.stdin)]
    if len(sys.argv) == 2 or sys.argv[1].startswith("-"):
        sys.exit(__doc__)
    return [(sys.argv[1], composed) for composed in sys.argv[2:]]


def main():
    themselves = {}
    for players_folder, composed_folder in asked():
        questions = Questions()
        charts = read_charts(players_folder)
        players = windows(read_folder(charts, players_folder), questions)
        if players_folder not in themselves:
            themselves[players_folder] = players_apart(players)
        composed = windows(read_folder(charts, composed_folder), questions)
        name = Path(composed_folder).name
        said = {"composed": name, **compare(players.wide(questions), composed, questions)}
        said["left_out"] = sorted(charts.keys() - said.pop("charts"))
        said["players_apart"] = themselves[players_folder]
        print(json.dumps(said), flush=True)
        print(table(name, said), file=sys.stderr, flush=True)


if __name__ == "__main__":
    try:
        with threadpool_limits(1):
            main()
    except Unread as wrong:
        sys.exit(str(wrong))
