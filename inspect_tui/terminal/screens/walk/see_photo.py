"""A photo in the terminal itself: as a picture where that can be drawn, else out of blocks."""

from __future__ import annotations

import contextlib
import importlib
import io

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widget import Widget
from textual.widgets import Static

from inspect_tui.terminal.keys import use
from inspect_tui.terminal.screens.modals import Card
from inspect_tui.terminal.widgets.blocks import PhotoBlocks


class SeePhoto(Card[None]):
    """One photo, as large as the screen allows."""

    BINDINGS = [use("back", "dismiss(None)"), use("on", "dismiss(None)", "Close", show=False)]

    def __init__(self, title: str, jpeg: bytes) -> None:
        super().__init__()
        self._title = title
        self._jpeg = jpeg

    def compose(self) -> ComposeResult:
        with Vertical(classes="card tall"):
            yield Static(self._title, classes="card-title", markup=False)
            yield _drawn_by(self._jpeg)
            yield self.foot(("back", "closes"))


def _drawn_by(jpeg: bytes) -> Widget:
    """The picture itself where the extra `pictures` is installed and this terminal draws some; else blocks."""
    with contextlib.suppress(ImportError):
        drawing = importlib.import_module("textual_image.renderable")
        if drawing.Image in (drawing.SixelImage, drawing.TGPImage):
            image: Widget = importlib.import_module("textual_image.widget").Image(io.BytesIO(jpeg))
            image.styles.width, image.styles.height = "100%", "1fr"
            return image
    return PhotoBlocks(jpeg)
