"""Page one, the verdict page: one sentence, the danger, what decides, how much was seen, the worst metal, what
changed since the last papers, what it may cost where the owner says so, and what these papers are not."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from inspect_tui.domain import walk
from inspect_tui.domain.knowledge.named import Kinds
from inspect_tui.domain.plain import counted, one_line, shortened
from inspect_tui.domain.records import Compartment, Finding
from inspect_tui.domain.words import CLOSED, WELDED, HullMetal, Lane, Severity, Tier
from inspect_tui.handover.figures.seen import WIDE_PT, Share, seen_by_place
from inspect_tui.handover.model import (
    Block,
    Columns,
    Decider,
    Deciders,
    Facts,
    Figure,
    Head,
    Leaf,
    Nos,
    Part,
    Words,
)
from inspect_tui.handover.parts.causes import causes_in_short
from inspect_tui.handover.parts.changed import changed_lines
from inspect_tui.handover.parts.cover import RIG_WORDS, who_looked
from inspect_tui.handover.parts.metal.worst import left_range, worst_metal
from inspect_tui.handover.parts.subject import Subject
from inspect_tui.handover.parts.work.money import money_table
from inspect_tui.judgement.metal.verdict import NO_LIMIT, Verdict, gone
from inspect_tui.judgement.work.action import Action, Task
from inspect_tui.judgement.work.worklist import count_words

MOST_DECIDE, MOST_BARS, MOST_LETTERS, MOST_NUMBERS = 5, 2, 190, 6
# A place of which so little was seen counts as never seen.
HARDLY_SEEN = 20.0
NOT_A_SURVEY = (
    "Not a survey. Nobody licensed has judged her in these papers: they tell what is known and what is not. Whether "
    "she may be floated is for a surveyor to say."
)
_WORDS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


def in_word(number: int) -> str:
    """A small number as a word.

    >>> in_word(3), in_word(31)
    ('three', '31')
    """
    return _WORDS[number] if number < len(_WORDS) else str(number)


def at_places(number: int) -> str:
    return f"at {in_word(number)} {'place' if number == 1 else 'places'}"


@dataclass(frozen=True)
class Wrong:
    """What is wrong with her in one way, at all its places: `said` of her, `what` for a list; the worst first."""

    said: str
    what: str
    more: str
    findings: tuple[Finding, ...]
    severity: Severity
    tier: Tier
    gone: float
    rank: int


def front(subject: Subject) -> Part:
    """The verdict page, on one side."""
    wrong = what_is_wrong(subject)
    blocks: list[Block] = [Words(verdict_sentence(subject, wrong), "lead"), Words(_count(subject))]
    blocks += [Words(told, "danger") for told in _dangers(subject)]
    if deciders := _deciders(subject, wrong):
        head = f"{in_word(len(deciders)).capitalize()} {'thing decides' if len(deciders) == 1 else 'things decide'}"
        blocks += [Head(head.replace("things decide", "things that decide"), "numbers are chalked on the metal")]
        blocks.append(Deciders(deciders))
    blocks += _seen(subject)
    left: list[Leaf] = [*worst_metal(subject)]
    left += [Head("Changed since the last papers"), Facts(changed_lines(subject))]
    right: list[Leaf] = [*_money(subject), Head("Who looked, when, with what"), Words(who_looked(subject), "note")]
    right += [Head("Why she corrodes"), Words(causes_in_short(subject), "note")]
    right.append(Words(NOT_A_SURVEY, "caution"))
    if subject.book.boat.hull_metal is HullMetal.ALUMINIUM:
        right.append(Words(NO_LIMIT, "note"))
    blocks.append(Columns((1, 1), (tuple(left), tuple(right))))
    return Part("front", "Page one", tuple(blocks), bare=True)


def what_is_wrong(subject: Subject) -> list[Wrong]:
    """Open findings gathered by what they mean: holed, too thin, cracked, pitted past the limit, then by their kind.
    By consequence, then by how much metal is gone."""
    by_way: dict[tuple[str, str], list[tuple[Finding, Action, Verdict | None]]] = defaultdict(list)
    for finding in subject.book.findings.values():
        action = subject.own_action_of.get(finding.chalk)
        if finding.status in CLOSED or action is None or action.tier.rank > Tier.THIS_HAUL_OUT.rank:
            continue
        verdict = subject.judged.verdicts.of(finding)
        by_way[_way(subject, finding, verdict)].append((finding, action, verdict))
    found = []
    for (said, what), rows in by_way.items():
        rows.sort(key=lambda row: (row[0].severity.rank, -gone(row[2]), row[1].rank, row[0].chalk))
        worst, _, verdict = rows[0]
        words = one_line(worst.words).rstrip(".")
        numbers = f"; {_in_short(verdict)}" if verdict else ""
        found.append(
            Wrong(
                f"{said} {at_places(len(rows))}" if said else "",
                what if len(rows) == 1 else f"{what}, {in_word(len(rows))} places",
                shortened(f"{words}{numbers}", 104),
                tuple(row[0] for row in rows),
                worst.severity,
                min((row[1].tier for row in rows), key=lambda tier: tier.rank),
                max(gone(row[2]) for row in rows),
                min(row[1].rank for row in rows),
            )
        )

    def consequence(one: Wrong) -> tuple[float, ...]:
        """What is wrong with the metal itself before the rest; of that, how much is gone; of the rest, its tier."""
        return (one.severity.rank, not one.said, 0 if one.said else one.tier.rank, -one.gone, one.rank)

    return sorted(found, key=consequence)


def _in_short(verdict: Verdict) -> str:
    """The worst number: what is left, as a range where plate was not gauged."""
    facts = verdict.facts
    if facts.holed or facts.left_mm is None or not facts.deepest_mm:
        return verdict.numbers.split(", ")[0]
    least, most = left_range(facts)
    left = f"{least:.1f} to {most:.1f}" if most - least >= 0.05 else f"{least:.1f}"
    return f"pit {facts.deepest_mm:.1f} deep, {left} of {facts.plate_mm:g} mm left"


def _way(subject: Subject, finding: Finding, verdict: Verdict | None) -> tuple[str, str]:
    """In which way it is wrong, said of her and for a list; of what says nothing of the hull only the latter."""
    if finding.kind == Kinds.HOLE or (verdict is not None and verdict.facts.holed):
        return "holed", "Holed"
    if finding.kind == Kinds.CRACK:
        return "cracked", "Cracked"
    if verdict is not None and verdict.thinned and verdict.strength and verdict.strength.treatment in WELDED:
        return "too thin for her strength", "Too thin for her strength"
    if verdict is not None and verdict.tightness is not None and verdict.tightness.treatment in WELDED:
        return "pitted past what the rules let stand", "Pitted past what the rules let stand"
    label = subject.kind_label(finding)
    return "", label[:1].upper() + label[1:]


def verdict_sentence(subject: Subject, wrong: Sequence[Wrong]) -> str:
    """Bar first, then what she is; at most so many letters, the mildest left out first, what was not seen never."""
    book = subject.book
    boat = book.boat
    jobs = [one for one in subject.listed.jobs if one.first.task is not Task.LAUNCH]
    barred = any(one.tier.rank <= Tier.BEFORE_AFLOAT.rank for one in jobs)
    looks = any(one.tier.rank <= Tier.BEFORE_AFLOAT.rank for one in subject.listed.looks)
    if barred:
        bar = "She must not stay afloat as she is" if boat.afloat else "She must not be floated as she lies"
    elif looks:
        bar = "Nobody can say yet whether she may be floated"
    else:
        bar = "Nothing written down bars floating"
    metal = boat.metal_words
    year = f" of {boat.year_built}" if boat.year_built else ""
    article = "an" if metal[0] in "aeiou" else "a"
    told = [one.said for one in wrong if one.said and one.severity.rank <= Severity.CRITICAL.rank]
    if subject.judged.leak is not None and subject.judged.leak.there:
        told.append("with current leaking into the hull")
    told += [one.said for one in wrong if one.said and one.severity.rank > Severity.CRITICAL.rank]
    share = seen_of_all(subject)
    last = f"on average {100 - share:.0f} % of each place not seen" if share is not None and share < 99.5 else ""
    while True:
        parts = [f"{article} {metal} {RIG_WORDS[boat.rig]}{year}", *told]
        sentence = f"{bar}: {', '.join(parts)}{f', and {last}' if last else ''}."
        if len(sentence) <= MOST_LETTERS or not told:
            return sentence
        told.pop()


def seen_of_all(subject: Subject) -> float | None:
    """Metal seen on average over all compartments, what nobody began counted as unseen [%]; None without any."""
    places = [place for place in subject.book.bow_to_stern() if _is_space(subject, place)]
    if not places:
        return None
    return sum(subject.progress_of[place.id].seen_percent or 0.0 for place in places) / len(places)


def _is_space(subject: Subject, place: Compartment) -> bool:
    area = subject.checklists.areas.get(place.area)
    return area is None or area.space


def _count(subject: Subject) -> str:
    listed = subject.listed
    counts = count_words(listed, Tier.BEFORE_AFLOAT)
    tiers = [*(one.tier for one in listed.jobs), *(one.tier for one in listed.looks)]
    if not any(tier.rank <= Tier.BEFORE_AFLOAT.rank for tier in tiers):
        return f"Nothing written down bars floating. {nothing_words(subject)}"
    state = (
        "before she stays afloat another day" if subject.book.boat.afloat else "before anybody may ask to float her"
    )
    return f"{counts}, {state}."


def nothing_words(subject: Subject) -> str:
    """What an empty tier may claim: no more than was looked at."""
    open_ = sum(not row.complete for row in subject.progress_of.values())
    return f"Nothing written down; {counted(open_, 'compartment')} not gone through." if open_ else "Nothing."


def _dangers(subject: Subject) -> list[str]:
    """What is dangerous to whoever comes aboard, each once; what does not fit is on the list of work."""
    jobs = [one for one in subject.listed.jobs if one.tier is Tier.NOW]
    told: dict[tuple[object, ...], str] = {}
    for job in jobs:
        action = job.first
        where = f"no. {action.chalk}, {_place_of(subject, action.chalk)}" if action.chalk else action.where
        about = (action.chalk or action.key,)
        head = shortened(one_line(action.headline), 110)
        say = shortened(one_line(action.what).split(" — ")[0], 260).rstrip(".")
        told.setdefault(about, f"{head[:1].upper()}{head[1:]} ({where}). {say}.")
    return list(told.values())[:MOST_BARS]


def _place_of(subject: Subject, chalk: int) -> str:
    return subject.place_name(subject.book.findings[str(chalk)].compartment)


def _deciders(subject: Subject, wrong: Sequence[Wrong]) -> tuple[Decider, ...]:
    """The gravest of what is wrong, and what was never seen."""
    unseen = _never_seen(subject)
    shown = [one for one in wrong if one.tier is not Tier.NOW][: MOST_DECIDE - bool(unseen)]
    rows = []
    for one in shown:
        chalks = tuple(finding.chalk for finding in one.findings)[:MOST_NUMBERS]
        who = list(dict.fromkeys(subject.own_action_of[each.chalk].who.value for each in one.findings))[:2]
        more = f"+ {len(one.findings) - len(chalks)}" if len(one.findings) > len(chalks) else ""
        where = " ".join(filter(None, (_frames_of(subject, one.findings), more)))
        frames = subject.frames_of(one.findings[0])
        at = sum(frames) / 2 if frames else None
        rows.append(Decider(f"{one.what}:", one.more, where, Nos(chalks), ", ".join(who), at))
    if unseen:
        names = [f"{one_line(place.name)} {_seen_share(subject, place)}" for place in unseen]
        head = f"Hardly or never seen below the waterline, {in_word(len(unseen))} places:"
        rows.append(Decider(head, _as_many(names, 150), "", Nos(()), "whoever opens them", part="seen"))
    return tuple(rows)


def _seen_share(subject: Subject, place: Compartment) -> str:
    row = subject.progress_of[place.id]
    return "not begun" if row.untouched else f"{row.seen_percent or 0:.0f} %"


def _as_many(names: Sequence[str], most: int) -> str:
    """As many names as fit, whole; the others are named below, where all is that was seen."""
    told = one_line(names[0])
    for name in names[1:]:
        if len(told) + len(name) + 2 > most:
            return f"{told} …"
        told += f", {one_line(name)}"
    return told


def _never_seen(subject: Subject) -> list[Compartment]:
    """Places below the waterline, the largest hidden first."""
    told = []
    for place in subject.book.bow_to_stern():
        seen = subject.progress_of[place.id].seen_percent
        below = walk.lane_of(subject.checklists, place) is not Lane.ABOVE
        if below and _is_space(subject, place) and (seen or 0.0) <= HARDLY_SEEN:
            told.append(place)
    return sorted(told, key=lambda one: -abs((one.frame_to or 0) - (one.frame_from or 0)))


def _frames_of(subject: Subject, findings: Sequence[Finding]) -> str:
    frames = list(dict.fromkeys(f"{one.position.frame:g}" for one in findings if one.position.frame is not None))
    if not frames:
        return shortened(_place_of(subject, findings[0].chalk), 26)
    told = ", ".join(frames[:4]) + (" …" if len(frames) > 4 else "")
    name = f"{shortened(_place_of(subject, findings[0].chalk), 24)}, " if len(findings) == 1 else ""
    return f"{name}fr {told}"


def _seen(subject: Subject) -> Iterable[Block]:
    book = subject.book
    drawn, unplaced = [], []
    for place in book.bow_to_stern():
        if not _is_space(subject, place):
            continue
        row = subject.progress_of[place.id]
        share = None if row.untouched else (row.seen_percent or 0.0) / 100
        if place.frame_from is None or place.frame_to is None:
            unplaced.append(f"{place.name} {'not begun' if share is None else f'{100 * share:.0f} %'}")
        else:
            drawn.append(
                Share(
                    one_line(place.name),
                    min(place.frame_from, place.frame_to),
                    max(place.frame_from, place.frame_to),
                    share,
                )
            )
    share_of_all = seen_of_all(subject)
    head = (
        "Nothing is written down of her inside"
        if share_of_all is None
        else f"Seen: {share_of_all:.0f} % of her, place by place"
    )
    yield Head(head, "black: share seen, in %, wherever in the place · hatched: not seen")
    if drawn and subject.frames is not None:
        svg, _, left_out = seen_by_place(drawn, subject.frames)
        told = "; ".join(
            f"{one.name} {'not begun' if one.share is None else f'{100 * one.share:.0f} %'}" for one in drawn
        )
        yield Figure("seen", svg, "", f"Share of the metal seen: {told}", WIDE_PT)
        unplaced += left_out
    yield Words(_seen_words(subject, unplaced), "note")


def _seen_words(subject: Subject, unplaced: Sequence[str]) -> str:
    """How the questions were answered, three ways apart, and what nobody began."""
    rows = subject.progress_of
    asked, answered = sum(row.asked for row in rows.values()), sum(row.answered for row in rows.values())
    unseen = sum(not prompt.share for row in rows.values() for prompt, _ in row.unseen)
    one_by_one, by_look = sum(row.one_by_one for row in rows.values()), sum(row.by_look for row in rows.values())
    to_gauge = sum(len(row.to_gauge) for row in rows.values())
    found_in = {finding.compartment for finding in subject.book.findings.values()}
    never = [
        one_line(subject.book.compartments[key].name)
        for key, row in rows.items()
        if (row.untouched or row.all_unseen) and key not in found_in
    ]
    rest = answered - one_by_one - by_look - unseen
    told = (
        f"{sum(row.complete for row in rows.values())} of {counted(len(rows), 'compartment')} gone through; "
        f"of {asked} questions {one_by_one} answered one by one, {by_look} by one look over the place, "
        f"{unseen} 'unseen', {asked - answered} not asked yet, {rest} on how much was seen; {to_gauge} spots not "
        "gauged yet. The share is the mean of the places with plate of their own, whatever their size; what was not "
        "begun counts as nothing."
    )
    if never:
        told += f" Unknown, because nothing was seen there: {shortened('; '.join(never), 330)}."
    if unplaced:
        told += f" Not drawn: {shortened('; '.join(map(one_line, unplaced)), 160)}."
    return told


def _money(subject: Subject) -> Iterable[Leaf]:
    if table := money_table(subject):
        yield Head(
            "Money and time", f"by the owner's own numbers{', ' + subject.currency if subject.currency else ''}"
        )
        yield table
