"""What must come first, and the order that follows from it."""

from __future__ import annotations

import heapq
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum

from inspect_tui.domain.records import Compartment
from inspect_tui.domain.words import Step, Tier
from inspect_tui.judgement.work.action import Action, Task

Edges = dict[str, set[str]]


class Reach(StrEnum):
    """How far a rule of order reaches."""

    PLACE = "one compartment"
    NEAR = "compartments side by side"
    HULL = "the whole boat"


@dataclass(frozen=True)
class _Rule:
    """Actions that fit `first` come before those that fit `then`, as far as it reaches."""

    first: Callable[[Action], bool]
    then: Callable[[Action], bool]
    reach: Reach = Reach.PLACE


def wants_pump(action: Action) -> bool:
    """Whether another pump is proved for it while she floats."""
    return bool(action.doing and action.doing.second_pump)


def _eaten(action: Action) -> bool:
    return bool(action.kind and action.kind.corrosion)


def _metal_repair(action: Action) -> bool:
    """Deciding on, welding or coating metal that is eaten."""
    return action.step is Step.COAT or (_eaten(action) and action.step in (Step.DECIDE, Step.HOT_WORK))


_RULES = (
    # She must be out of the water; what bridges the time until then waits for nothing.
    _Rule(lambda one: one.task is Task.HAUL, lambda one: one.needs_haul and not one.held, Reach.HULL),
    # Another pump is proved before one is switched off or taken apart; what is done at once against water is not kept
    # waiting.
    _Rule(lambda one: one.task is Task.PUMP, lambda one: wants_pump(one) and one.tier is not Tier.NOW, Reach.HULL),
    # No switch is touched while there is gas.
    _Rule(
        lambda one: bool(one.kind and one.kind.danger == "always") and one.step is Step.GUT and one.is_immediate,
        lambda one: one.task is Task.AT_ONCE and one.step is Step.CAUSE and one.tier is not Tier.NOW,
        Reach.HULL,
    ),
    # What lies there is recorded before anything is rinsed away.
    _Rule(lambda one: one.task is Task.RECORD, lambda one: one.task is Task.AT_ONCE and one.step is Step.CLEAN),
    # No heat while somebody could be hurt by what is in the air, and none where something is not recorded yet.
    _Rule(
        lambda one: bool(one.kind and one.kind.danger == "always"), lambda one: one.step is Step.HOT_WORK, Reach.HULL
    ),
    _Rule(lambda one: one.task is Task.AT_ONCE, lambda one: one.step is Step.HOT_WORK, Reach.HULL),
    _Rule(lambda one: one.task is Task.RECORD, lambda one: one.step is Step.HOT_WORK),
    # What lies behind must be known before anything is decided or covered.
    _Rule(lambda one: one.task is Task.OPEN, _metal_repair),
    # Wet linings come out before arc or paint, and fittings come off.
    _Rule(lambda one: one.step in (Step.GUT, Step.FITTINGS_OFF) and one.chalk is not None, _metal_repair),
    # Water and foreign metal go before metal is repaired or coated.
    _Rule(lambda one: one.step is Step.CLEAN and bool(one.kind and one.kind.cause), _metal_repair),
    # A current is cured before any eaten metal is repaired.
    _Rule(
        lambda one: one.step is Step.CAUSE and not one.cures,
        lambda one: _eaten(one) and one.step in (Step.DECIDE, Step.HOT_WORK),
        Reach.HULL,
    ),
    # The arc comes before tests in its own place, and before paint anywhere near: heat burns what was coated.
    _Rule(lambda one: one.step is Step.HOT_WORK, lambda one: one.step is Step.TIGHTNESS),
    _Rule(lambda one: one.step is Step.HOT_WORK, lambda one: one.step is Step.COAT, Reach.NEAR),
    # What was taken off goes back on after the paint.
    _Rule(lambda one: one.step is Step.COAT, lambda one: one.step is Step.REFIT and one.tier is not Tier.NOW),
)
# As far apart as this, counted in frames, two compartments lie side by side.
_SIDE_BY_SIDE_FRAMES = 1.0


def lie_near(one: Compartment, other: Compartment) -> bool:
    """Whether two compartments lie side by side; yes where nobody knows."""
    ends = [one.frame_from, one.frame_to, other.frame_from, other.frame_to]
    known = [end for end in ends if end is not None]
    if len(known) < len(ends):
        return True
    (low, high), (from_, to) = sorted(known[:2]), sorted(known[2:])
    return low <= to + _SIDE_BY_SIDE_FRAMES and from_ <= high + _SIDE_BY_SIDE_FRAMES


def edges_between(actions: list[Action]) -> Edges:
    """For each action the keys of those that must come before it. No cycle can arise: every edge leads
    from a lower stage of the work to a higher one."""
    edges: Edges = defaultdict(set)
    groups: dict[str, list[Action]] = defaultdict(list)
    places: dict[str, Compartment] = {}
    for action in actions:
        if action.compartment is not None:
            groups[action.compartment.id].append(action)
            places[action.compartment.id] = action.compartment
    near = {key: [other for other, place in places.items() if lie_near(one, place)] for key, one in places.items()}
    for rule in _RULES:
        if rule.reach is Reach.HULL:
            _join(edges, rule, actions, actions)
            continue
        for key, group in groups.items():
            for other in near[key] if rule.reach is Reach.NEAR else (key,):
                _join(edges, rule, group, groups[other])
    # What eats a place is cured, or found, before that place is repaired.
    for cure in (action for action in actions if action.cures):
        for then in actions:
            if then.chalk in cure.cures and cure.stage < then.stage and _metal_repair(then):
                edges[then.key].add(cure.key)
    return edges


def _join(edges: Edges, rule: _Rule, before: list[Action], behind: list[Action]) -> None:
    first = [action for action in before if rule.first(action)]
    if not first:
        return
    for then in behind:
        if rule.then(then):
            edges[then.key] |= {one.key for one in first if one.stage < then.stage}


def promoted(actions: list[Action], edges: Edges) -> list[Action]:
    """What others wait for moves up to their tier, and says so."""
    by_key = {action.key: action for action in actions}
    own_why = {action.key: action.why for action in actions}
    for later in sorted(actions, key=lambda one: one.stage, reverse=True):
        waiting = by_key[later.key]
        for key in sorted(edges.get(later.key, ())):
            if by_key[key].tier.rank > waiting.tier.rank:
                label = waiting.label[0].upper() + waiting.label[1:]
                why = f"{own_why[key]} {label} waits for it ({waiting.tier.value})."
                by_key[key] = replace(by_key[key], tier=waiting.tier, why=why)
    return list(by_key.values())


def in_order(actions: list[Action], edges: Edges) -> tuple[Action, ...]:
    """Topological, and by the sort key wherever the graph leaves a choice. What must come first is sorted
    by the most pressing of the actions that wait for it. Ranks count from 1, of the work and of what is to be looked
    at apart."""
    by_key = {action.key: action for action in actions}
    waits = {action.key: set(edges.get(action.key, ())) for action in actions}
    blocks: dict[str, list[str]] = defaultdict(list)
    own = {action.key: action.sort_key() for action in actions}
    pressing = dict(own)
    for action in sorted(actions, key=lambda one: one.stage, reverse=True):
        for first in waits[action.key]:
            blocks[first].append(action.key)
            pressing[first] = min(pressing[first], pressing[action.key])
    ready = [(pressing[key], own[key], key) for key, firsts in waits.items() if not firsts]
    heapq.heapify(ready)
    ordered: list[Action] = []
    ranks = {True: 0, False: 0}
    position: dict[str, int] = {}
    while ready:
        _, _, key = heapq.heappop(ready)
        position[key] = len(ordered)
        after = tuple(sorted(edges.get(key, ()), key=position.__getitem__))
        action = by_key[key]
        ranks[action.is_look] += 1
        ordered.append(replace(action, rank=ranks[action.is_look], after=after))
        for then in blocks[key]:
            waits[then].discard(key)
            if not waits[then]:
                heapq.heappush(ready, (pressing[then], own[then], then))
    return tuple(ordered)
