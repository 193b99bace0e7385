"""Screens are read from what their widgets render; painting them as well, for nobody, takes a third of the time."""

from __future__ import annotations

import pytest
from textual.screen import Screen


@pytest.fixture(autouse=True)
def _nobody_looks(monkeypatch: pytest.MonkeyPatch) -> None:
    """Programs that the tests start in a terminal of their own paint as ever."""

    def laid_out(screen: Screen[object]) -> None:
        screen._compositor._dirty_regions.clear()
        screen._dirty_widgets.clear()
        screen.app._update_mouse_over(screen)

    monkeypatch.setattr(Screen, "_compositor_refresh", laid_out)
