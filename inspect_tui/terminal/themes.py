"""Two themes of our own: one for a dark bilge, one for sunlight. Text stands at 7:1 or better on its ground."""

from __future__ import annotations

from dataclasses import replace

from textual.app import App
from textual.theme import Theme

BILGE = Theme(
    name="bilge",
    dark=True,
    primary="#7cc7ff",
    secondary="#b9d7ea",
    accent="#ffd35c",
    foreground="#f2f2ee",
    background="#0c0f10",
    surface="#0c0f10",
    panel="#1b2022",
    success="#8fe09a",
    warning="#ffc56b",
    error="#ff9d94",
    text_alpha=1.0,
    variables={
        "block-cursor-background": "#ffd35c",
        "block-cursor-foreground": "#0c0f10",
        "block-cursor-blurred-background": "#3a4044",
        "block-cursor-blurred-foreground": "#f2f2ee",
        "footer-background": "#1b2022",
        "footer-foreground": "#f2f2ee",
        "footer-key-foreground": "#ffd35c",
        "footer-description-foreground": "#f2f2ee",
        "input-cursor-background": "#ffd35c",
        "input-cursor-foreground": "#0c0f10",
        "input-selection-background": "#2f5d7c",
        "text-muted": "#c4c9c9",
        "text-disabled": "#b4baba",
        "field-edge": "#9aa3a6",
        "scrollbar": "#8a9296",
        "scrollbar-background": "#0c0f10",
    },
)

SUNLIGHT = Theme(
    name="sunlight",
    dark=False,
    primary="#003f73",
    secondary="#233a4a",
    accent="#6b3a00",
    foreground="#0a0a0a",
    background="#ffffff",
    surface="#ffffff",
    panel="#e9ebec",
    success="#0b4d1a",
    warning="#663c00",
    error="#8a0f0f",
    text_alpha=1.0,
    variables={
        "block-cursor-background": "#003f73",
        "block-cursor-foreground": "#ffffff",
        "block-cursor-blurred-background": "#c4ccd2",
        "block-cursor-blurred-foreground": "#0a0a0a",
        "footer-background": "#e9ebec",
        "footer-foreground": "#0a0a0a",
        "footer-key-foreground": "#003f73",
        "footer-description-foreground": "#0a0a0a",
        "input-cursor-background": "#003f73",
        "input-cursor-foreground": "#ffffff",
        "input-selection-background": "#b5d2ea",
        "text-muted": "#333333",
        "text-disabled": "#3d3d3d",
        "field-edge": "#5c656b",
        "scrollbar": "#6a7278",
        "scrollbar-background": "#ffffff",
    },
)

# For a console of sixteen colours: each of these is one of them, so that none is taken for another.
CONSOLE = Theme(
    name="console",
    dark=True,
    primary="#00ffff",
    secondary="#ffffff",
    accent="#ffff00",
    foreground="#ffffff",
    background="#000000",
    surface="#000000",
    panel="#000080",
    success="#00ff00",
    warning="#ffff00",
    error="#ff0000",
    text_alpha=1.0,
    variables={
        **BILGE.variables,
        "block-cursor-background": "#ffff00",
        "block-cursor-foreground": "#000000",
        "footer-background": "#000080",
        "footer-foreground": "#ffffff",
        "footer-key-foreground": "#ffff00",
        "footer-description-foreground": "#ffffff",
        "input-cursor-background": "#ffff00",
        "input-cursor-foreground": "#000000",
        "text-muted": "#c0c0c0",
        "text-disabled": "#c0c0c0",
        "field-edge": "#00ffff",
        "scrollbar": "#c0c0c0",
        "scrollbar-background": "#000000",
    },
)


def without_colours(theme: Theme) -> Theme:
    """The same for a terminal without colours: what stands out does so by its weight, and nothing is paler for it."""
    front = theme.foreground
    variables = {**theme.variables, "text-muted": front or "", "footer-key-foreground": front or ""}
    return replace(
        theme, accent=front, success=front, warning=front, error=front, secondary=front, variables=variables
    )


def register_themes(app: App[None]) -> None:
    """Ours, and the one for a bilge to begin with."""
    for theme in (BILGE, SUNLIGHT, CONSOLE):
        app.register_theme(without_colours(theme) if app.no_color else theme)
    app.theme = BILGE.name


def use_what_is_there(app: App[None]) -> None:
    """On a terminal of sixteen colours the theme that is made of them."""
    if not app.is_headless and app.console.color_system == "standard":
        app.theme = CONSOLE.name
