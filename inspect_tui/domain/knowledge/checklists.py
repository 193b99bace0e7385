"""All trade knowledge together, checked and ready."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from inspect_tui.domain.knowledge.areas import Area, Caution, Everywhere, Prompt
from inspect_tui.domain.knowledge.causes import Causes
from inspect_tui.domain.knowledge.kinds import Kind, Work
from inspect_tui.domain.knowledge.launch import LaunchLine
from inspect_tui.domain.knowledge.metals import Metals
from inspect_tui.domain.knowledge.shots import Shot


@dataclass(frozen=True)
class Checklists:
    """All trade knowledge that the walk needs, checked and ready."""

    areas: Mapping[str, Area]
    everywhere: Everywhere
    cautions: Mapping[str, Caution]
    kinds: Mapping[str, Kind]
    works: Mapping[str, Work]
    launch: Mapping[str, LaunchLine]
    shots: Mapping[str, Shot]
    metals: Metals
    causes: Causes
    of_files: Callable[[], str] = field(default=str, repr=False, compare=False)

    @cached_property
    def digest(self) -> str:
        """SHA-256 in hexadecimal over the files that it was read from, the owner's among them; worked out when it is
        first asked for."""
        return self.of_files()

    @cached_property
    def prompts(self) -> Mapping[str, Prompt]:
        """All prompts by their keys, those asked everywhere too."""
        found = {prompt.key: prompt for area in self.areas.values() for prompt in area.prompt}
        found |= {prompt.key: prompt for prompt in self.everywhere.before + self.everywhere.after}
        return found

    @cached_property
    def apart(self) -> frozenset[str]:
        """Keys of the prompts that gauge a part by itself, no plate of the compartment."""
        return frozenset(key for key, prompt in self.prompts.items() if prompt.apart)
