"""Keys as data: one verb a key, on every screen. Footer, help, menus and texts print from here.

An owner's file may give other keys; what is wrong with it is told in sentences, and the rest of it holds.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum
from pathlib import Path

from textual.binding import Binding
from textual.keys import KEY_ALIASES, KEY_NAME_REPLACEMENTS, Keys


class Purpose(Enum):
    """What a key is for: help lists them by it."""

    ANSWER = "Answer"
    WRITE = "Write down"
    LOOK = "Look closer"
    GO = "Go to"
    CHANGE = "Save and undo"
    MOVE = "Move"
    PROGRAM = "The program"


@dataclass(frozen=True)
class Verb:
    """What a key does, wherever it does anything. `keys` by their names in Textual, the first is printed where
    letters are no text; `fixed`: an owner's file cannot change them."""

    name: str
    keys: tuple[str, ...]
    label: str
    does: str
    purpose: Purpose
    fixed: bool = False


A, W, L, G, C, M, P = Purpose
VERBS = {
    verb.name: verb
    for verb in (
        Verb("sound", ("s",), "Sound", "looked at, and nothing wrong", A),
        Verb("finding", ("f",), "Finding", "write down something wrong, or worth watching", A),
        Verb("unseen", ("u",), "Unseen", "it could not be looked at; the reason is asked", A),
        Verb("not_fitted", ("n",), "Not fitted", "there is no such thing on this boat", A),
        Verb("share", tuple("0123456789"), "Share seen", "7 means 70 % of the metal was seen", A, fixed=True),
        Verb("rest_unseen", ("r",), "Rest unseen", "all that is still open in this place, for one reason", A),
        Verb("there", ("plus",), "There", "the sign was looked for, and is there", A),
        Verb("absent", ("minus",), "Not there", "the sign was looked for, and is not there", A),
        Verb("clear", ("backspace",), "Not checked", "the sign was not looked for", A),
        Verb("add", ("a",), "Add", "write down one more", W),
        Verb("edit", ("e",), "Edit", "change the chosen one", W),
        Verb("measure", ("m", "f4"), "Measure", "type readings", W),
        Verb("done", ("d",), "Done", "it is done: what, with what, by whom", W),
        Verb("status", ("f7",), "Status", "move the finding on: cleaned, measured, decided, repaired, verified", W),
        Verb("decide", (), "My decision", "decide for yourself, whatever the rules say, and why", W),
        Verb("taken_out", ("x",), "Taken out", "what was taken out and where it lies, to be put back", W),
        Verb("photos", ("f6",), "Photos", "pictures of it", W),
        Verb("take_in", ("i",), "Take in", "read in from a folder or a file", W),
        Verb("choose", ("space",), "Choose", "tick the row, or open the list to choose from", W, fixed=True),
        Verb("working", ("y", "f3"), "Working", "the numbers, rules and sources behind it", L),
        Verb("view", ("v", "f5"), "View", "see the picture, the plot or the folder", L),
        Verb("test", ("t",), "Test", "the next thing to try, and how", L),
        Verb("find", ("slash",), "Find", "only lines that hold the words you type", L),
        Verb("only", ("o",), "Only", "only some of it", L),
        Verb("large", (), "Large type", "the question in letters to read at arm's length", L),
        Verb("first_pass", ("b",), "First pass", "only what can sink her or hurt someone, through the whole boat", G),
        Verb("worklist", ("w",), "Worklist", "what to do, in order", G),
        Verb("metal", ("k",), "Metal", "plate fields: what is left and what is needed", G),
        Verb("plan", ("equals_sign",), "Plan", "the worklist as days, with what to have to hand", G),
        Verb("scope", ("at",), "Scope", "what needs new metal or heat, as a welder's jobs", G),
        Verb("money", ("dollar_sign",), "Money", "what she costs by your own numbers, and where you stop", G),
        Verb("map", ("comma",), "Shell map", "the shell laid flat, the worst first", G),
        Verb("since", ("semicolon",), "What grew", "each spot against the rounds before", G),
        Verb("causes", ("c",), "Causes", "why she corrodes", G),
        Verb("papers", ("p",), "Papers", "the papers to hand over", G),
        Verb("gauging", ("g",), "To gauge", "what is answered by readings", G),
        Verb("launch", ("l",), "Launch list", "signed line by line, before she moves and after", G),
        Verb("chalk", ("number_sign",), "Numbers", "all findings by their chalk numbers", G),
        Verb("particulars", ("h",), "Her particulars", "dimensions, water, frames, what she has", G),
        Verb("trail", ("j",), "Trail", "every change ever made; take one back", G),
        Verb("sheets", (), "Field sheets", "print sheets to fill in by hand, and read them back", G),
        Verb("patches", (), "Old patches", "what lay beneath those lifted, and what that says of the rest", G),
        Verb("protection", (), "Protection", "the hull's potential against its bands", G),
        Verb("hunt", (), "Circuit hunt", "which circuit leaks into the hull", G),
        Verb("anodes", (), "Anodes", "how many, by mass and by current", G),
        Verb("tour", (), "Guided walk", "the demo boat in nine short steps", G),
        Verb("save", ("f2", "ctrl+s"), "Save", "save what is in the form", C),
        Verb("remove", ("f8",), "Remove", "remove the chosen one; asks first", C),
        Verb("undo", ("z",), "Undo", "take back the last change, whatever it was", C),
        Verb("drafts", (), "Half-written", "forms that were begun and not saved", C),
        Verb("round", (), "New round", "ask everything anew; findings stay", C),
        Verb("afloat", (), "Afloat or hauled out", "say that she was floated or hauled out", C),
        Verb("on", ("enter",), "Open", "open or accept the chosen line; in a form, the next field", M, fixed=True),
        Verb("back", ("escape",), "Back", "back to where you came from; nothing is lost", M, fixed=True),
        Verb("before", ("left",), "Before", "the one before", M, fixed=True),
        Verb("next", ("right",), "Next", "the next one", M, fixed=True),
        Verb("up", ("up",), "Up", "the line above", M, fixed=True),
        Verb("down", ("down",), "Down", "the line below", M, fixed=True),
        Verb("first", ("home",), "First", "to the first", M, fixed=True),
        Verb("last", ("end",), "Last", "to the last", M, fixed=True),
        Verb("page_before", ("pageup",), "Page before", "the compartment or page before", M, fixed=True),
        Verb("page_next", ("pagedown",), "Page next", "the next compartment or page", M, fixed=True),
        Verb("complete", ("tab",), "Complete", "complete the path; in a form, the next field", M, fixed=True),
        Verb("field_before", ("shift+tab",), "Field before", "in a form, the field before", M, fixed=True),
        Verb("more", ("f9", "full_stop"), "More", "everything that can be done here", P),
        Verb("help", ("question_mark", "f1"), "Help", "what this screen is for, and its keys", P),
        Verb("palette", ("ctrl+p",), "Find a command", "any screen or command by its name", P, fixed=True),
        Verb("theme", ("asterisk",), "Light or dark", "for sunlight, or for the bilge", P),
        Verb("read_anew", ("ctrl+r",), "Reload", "read the file again, if another program has changed it", P),
        Verb("quit", ("q", "ctrl+q"), "Quit", "leave; everything is saved already", P),
    )
}
SHOWN = {
    "escape": "Esc", "enter": "Enter", "space": "Space", "tab": "Tab",
    "shift+tab": "⇧Tab", "backspace": "⌫", "delete": "Del", "left": "←",
    "right": "→", "up": "↑", "down": "↓", "pageup": "PgUp", "pagedown": "PgDn", "home": "Home", "end": "End",
    "question_mark": "?", "slash": "/", "number_sign": "#", "asterisk": "*", "plus": "+", "minus": "-",
    "full_stop": ".", "equals_sign": "=", "comma": ",", "at": "@",
    "semicolon": ";", "dollar_sign": "$",
}  # fmt: skip
# Before the name of a verb that no key of this screen reaches: it stands under "more".
UNREACHED = "unreached-"
NAMED = re.compile(r"\{([a-z_]+)\}")


def shown_key(key: str) -> str:
    """A key as it is printed.

    >>> shown_key("f2"), shown_key("ctrl+s"), shown_key("question_mark"), shown_key("s")
    ('F2', '^s', '?', 's')
    """
    if key in SHOWN:
        return SHOWN[key]
    if key.startswith("ctrl+"):
        return f"^{key.removeprefix('ctrl+')}"
    return (
        key.upper() if len(key) > 1 and key[0] == "f" and key[1:].isdigit() else KEY_NAME_REPLACEMENTS.get(key, key)
    )


def is_text(key: str) -> bool:
    """Whether a key writes a sign where text is typed."""
    return (
        len(key) == 1
        or key in ("space", "backspace")
        or (key in SHOWN and len(SHOWN[key]) == 1 and SHOWN[key].isascii())
    )


@dataclass(frozen=True)
class KeyMap:
    """Which keys each verb has, and what was wrong with the owner's file."""

    keys: Mapping[str, tuple[str, ...]] = field(
        default_factory=lambda: {one.name: one.keys for one in VERBS.values()}
    )
    troubles: tuple[str, ...] = ()

    def of(self, verb: str, *, typing: bool = False) -> tuple[str, ...]:
        """The keys of a verb; `typing`: those that reach it where letters are text."""
        # What is fixed moves or chooses: a field of text keeps it for itself, all else heeds it.
        return tuple(key for key in self.keys[verb] if not typing or VERBS[verb].fixed or not is_text(key))

    def shown(self, verb: str, *, typing: bool = False) -> str:
        """A verb's key as it is printed; where it has none, the way to it."""
        keys = self.of(verb, typing=typing)
        if keys:
            return shown_key(keys[0])
        more = self.shown("more", typing=typing)
        letters = [key for key in self.keys[verb] if len(shown_key(key)) == 1]
        return f"{more} {shown_key(letters[0])}" if letters else more

    def fill(self, text: str, *, typing: bool = False) -> str:
        """A text with the keys that it names in braces.

        >>> KeyMap().fill("{save} saves it, {photos} shows its pictures; {nothing} stays")
        'F2 saves it, F6 shows its pictures; {nothing} stays'
        """
        return NAMED.sub(lambda found: self.shown(found[1], typing=typing) if found[1] in VERBS else found[0], text)

    def textual(self) -> dict[str, str]:
        """For `App.set_keymap`: the verbs whose keys are not ours, by the ids of their bindings."""
        changed = {}
        for name, verb in VERBS.items():
            if self.keys[name] != verb.keys:
                changed[name] = ",".join(self.of(name)) or UNREACHED + name
                changed[TYPING + name] = ",".join(self.of(name, typing=True)) or UNREACHED + name
        return changed


TYPING = "typing-"
USUAL = KeyMap()


def use(
    verb: str,
    action: str = "",
    label: str = "",
    *,
    does: str = "",
    typing: bool = False,
    show: bool = True,
    priority: bool = False,
) -> Binding:
    """The binding of a verb on a screen. `action`: of the same name if not given; `does`: what it does on this
    screen, where that says more; `typing`: where letters are text; not shown: it stands under "more" alone."""
    keys = USUAL.of(verb, typing=typing)
    return Binding(
        ",".join(keys) or UNREACHED + verb,
        action or verb,
        label or VERBS[verb].label,
        show=show,
        tooltip=does,
        id=TYPING + verb if typing else verb,
        priority=priority,
    )


def verb_of(binding: Binding) -> Verb | None:
    """The verb that a binding is of; None for what Textual brings."""
    return VERBS.get((binding.id or "").removeprefix(TYPING))


def read_keys(path: Path) -> KeyMap:
    """The owner's keys: a table `[keys]` with a key, or several, for a verb.

    Whatever in it cannot be used is told, and that verb keeps its own keys.
    """
    usual = USUAL
    try:
        told = tomllib.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return usual
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        return KeyMap(troubles=(f"{path} cannot be read, so the usual keys apply: {error}.",))
    table = told.get("keys", {})
    if not isinstance(table, dict):
        return KeyMap(troubles=(f"{path}: [keys] is not a table, so the usual keys apply.",))
    keys, troubles = dict(usual.keys), []
    for name, value in table.items():
        wanted = [value] if isinstance(value, str) else value
        if trouble := _trouble(name, wanted):
            troubles.append(trouble)
        else:
            keys[name] = tuple(_named(one) for one in wanted)
    for name in list(table):
        # A key that two verbs want stays with the one whose own it is; a changed one gets its own back.
        for key in keys.get(name, ()):
            other = next((one for one, has in keys.items() if one != name and key in has), None)
            if other is not None and keys[name] != usual.keys[name]:
                troubles.append(f"{name}: {shown_key(key)} already belongs to {other}, so {name} keeps its own key.")
                keys[name] = usual.keys[name]
                break
    return KeyMap(keys, tuple(troubles))


def _trouble(name: str, wanted: object) -> str:
    """What is wrong with one line of the owner's file; empty if nothing is."""
    verb = VERBS.get(name)
    if verb is None:
        near = [one for one in VERBS if one[:2] == name[:2]]
        also = f" Did you mean {near[0]}?" if near else ""
        return f"{name}: there is no such verb.{also}"
    if verb.fixed:
        return f"{name}: its key cannot be changed."
    if not isinstance(wanted, list) or not all(isinstance(one, str) for one in wanted):
        return f'{name}: write a key, such as "f2", or a list of them.'
    for one in wanted:
        if not _is_key(_named(one)):
            return f"{name}: {one!r} is not a key. Keys are letters, symbols, f1 to f12, ctrl+s and the like."
    if any(not is_text(key) for key in verb.keys) and all(is_text(_named(one)) for one in wanted):
        return f"{name}: it is also used where you type, so it needs a key that is not a letter: f2, ctrl+s."
    return ""


def _named(key: str) -> str:
    """A key by its name in Textual, as an owner may write it."""
    signs = {sign: name for name, sign in SHOWN.items() if len(sign) == 1 and sign.isascii()}
    lower = key.strip() if len(key.strip()) == 1 else key.strip().lower()
    return signs.get(lower, lower)


def _is_key(key: str) -> bool:
    known = {one.value for one in Keys} | set(KEY_ALIASES) | set(SHOWN)
    base = key.rsplit("+", 1)[-1]
    return (len(base) == 1 and base.isprintable()) or base in known
