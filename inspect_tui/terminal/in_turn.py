"""Keys are taken in their turn: one that comes while a screen or a question opens waits for it, and lands in it."""

from __future__ import annotations

import asyncio
from collections import deque
from typing import Any

from textual import events
from textual.app import App
from textual.message_pump import MessagePump

# A screen that is not there by then is waited for no longer [s]; and how often that is looked at.
LONGEST_S, LOOK_S = 3.0, 0.005
# So many looks in a row must find nothing under way.
QUIET_LOOKS = 3


class KeysInTurn(App[None]):
    """Textual gives a key to whatever has the focus when it comes, also while the screen that was asked for is still
    being made: what is typed fast would land in the one before, or nowhere."""

    def __init__(self) -> None:
        super().__init__()
        self._waiting: deque[events.Event] = deque()
        self._taking: asyncio.Task[None] | None = None

    async def on_event(self, event: events.Event) -> None:
        if not isinstance(event, events.Key | events.Paste) or event.is_forwarded:
            await super().on_event(event)
        elif isinstance(event, events.Key) and event.key.startswith("alt+") and event.character:
            # Escape and a letter that a busy machine reads at once: a terminal sends the same for Alt and the letter,
            # which nothing is bound to.
            for key in (events.Key("escape", "\x1b"), events.Key(event.character, event.character)):
                await self.on_event(key)
        elif self._taking is None and self._is_quiet():
            # Nothing is under way: no time is lost.
            await super().on_event(event)
        else:
            self._waiting.append(event)
            if self._taking is None:
                self._taking = asyncio.create_task(self._take(), name="keys in turn")

    async def _take(self) -> None:
        try:
            while self._waiting:
                await self._until_quiet()
                if self._waiting:
                    await super().on_event(self._waiting.popleft())
        except Exception as error:
            self._handle_exception(error)
        finally:
            self._taking = None

    async def _until_quiet(self) -> None:
        end, quiet = asyncio.get_running_loop().time() + LONGEST_S, 0
        while quiet < QUIET_LOOKS and asyncio.get_running_loop().time() < end:
            quiet = quiet + 1 if self._is_quiet() else 0
            await asyncio.sleep(0 if quiet else LOOK_S)

    def _is_quiet(self) -> bool:
        """Whether the key before was taken, and what it opened or closed stands."""
        if not self.screen_stack or not self.screen.is_mounted or not self.screen._compositor.size.area:
            return False
        node: Any = self.focused or self.screen
        pumps: list[MessagePump] = [self]
        while isinstance(node, MessagePump) and node is not self:
            pumps.append(node)
            node = node._parent
        return not any(pump.message_queue_size or pump._next_callbacks for pump in pumps)
