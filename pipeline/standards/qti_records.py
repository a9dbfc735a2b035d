"""Questions of a QTI file as frozen records, the same for all versions of the standard.

Source of the namespaces: 1EdTech QTI 1.2 ASI XML binding (2002), QTI 2.1 (2012), 2.2 (2015) and 3.0
(2022) schemas.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from pipeline.errors import InputError
from pipeline.standards.xml_reading import Element, local_name, namespace

Kind = Literal["text entry", "choice", "several", "other"]
_PLACE = re.compile(r"\{(\w[\w.-]*)\}")


@dataclass(frozen=True, slots=True)
class Choice:
    """One option: what results call it, and the text that a student saw."""

    identifier: str
    text: str


@dataclass(frozen=True, slots=True)
class Accepted:
    """An answer that the question gives credit for.

    Args:
        text: the answer; an option's identifier for a choice.
        share: of full credit, 0 to 1.
        case_matters: as the question says; None where it does not.
    """

    text: str
    share: float = 1.0
    case_matters: bool | None = None


@dataclass(frozen=True, slots=True)
class Interaction:
    """One place where a student answers.

    Args:
        response: identifier of the response variable, as results name it.
        kind: a text entry, one option, several options, or something else.
        name: of the interaction in the standard, such as `textEntryInteraction`.
        cardinality: single, multiple, ordered or record.
        base_type: such as `string`, `float`, `identifier`.
        options: in the order of the file.
        key: the right values, identifiers for options; empty where it is not known.
        accepted: all values with credit, the full ones first; empty for several options.
        tolerance: how far off still counts, in words such as `relative 5 5`; "" for none.
        why_no_key: why the key is not known; "" where it is.
    """

    response: str
    kind: Kind
    name: str
    cardinality: str = "single"
    base_type: str = "string"
    options: tuple[Choice, ...] = ()
    key: tuple[str, ...] = ()
    accepted: tuple[Accepted, ...] = ()
    tolerance: str = ""
    why_no_key: str = ""

    def shown(self, value: str) -> str:
        """What a student saw for a value: the text of the option that it names, else itself."""
        return next((one.text for one in self.options if one.identifier == value), value)

    @property
    def key_texts(self) -> tuple[str, ...]:
        """The key as a student sees it."""
        return tuple(map(self.shown, self.key))


@dataclass(frozen=True, slots=True)
class QtiItem:
    """One question.

    Args:
        identifier: as results name it.
        title: for people.
        version: of the standard: 1.2, 2.0, 2.1, 2.2 or 3.0.
        body: its text in reading order, one line a block, mathematics as typed notation, `____`
            where a student types or picks, `{A}` where a template variable's value is printed.
        interactions: in reading order; hints and buttons are left out.
        templates: names of template variables; with any, each candidate gets values of its own.
        outcomes: GUIDs of the outcomes that a package says it serves.
        named: further names under which a test refers to it.
        not_taken: what of it could not be taken, a sentence each.
        file: where it stands.
        line: there, from 1.
    """

    identifier: str
    title: str
    version: str
    body: str
    interactions: tuple[Interaction, ...]
    templates: tuple[str, ...] = ()
    outcomes: tuple[str, ...] = ()
    named: tuple[str, ...] = ()
    not_taken: tuple[str, ...] = ()
    file: str = ""
    line: int = 1

    def filled(self, values: Mapping[str, str]) -> str | None:
        """The body with a candidate's own values in it; None where one of them is missing.

        A negative number or a fraction gets brackets where a sign or an exponent stands beside it.
        """
        missing: list[str] = []

        def value(found: re.Match[str]) -> str:
            if found[1] not in self.templates:
                return found[0]
            if found[1] not in values:
                missing.append(found[1])
                return ""
            text = values[found[1]].strip()
            before = self.body[: found.start()].rstrip()[-1:]
            after = self.body[found.end() :].lstrip()[:1]
            plain = re.fullmatch(r"\w*(?:\.\d+)?", text)
            alone = before in ("", "=", "(", ",", "<", ">", ":") and after not in ("^", "²", "³")
            bare = plain or (alone and text[:1] == "-" and text[1:].isalnum())
            return text if bare else f"({text})"

        text = _PLACE.sub(value, self.body)
        return None if missing else text


_XSD = "http://www.imsglobal.org/xsd/"
RESULT_SPACES = {
    f"{_XSD}imsqti_result_v2p1": "2.1",
    f"{_XSD}imsqti_result_v2p2": "2.2",
    f"{_XSD}imsqti_result_v3p0": "3.0",
}
ITEM_SPACES = {
    f"{_XSD}imsqti_v2p0": "2.0",
    f"{_XSD}imsqti_v2p1": "2.1",
    f"{_XSD}imsqti_v2p2": "2.2",
    f"{_XSD}imsqtiasi_v3p0": "3.0",
}


def version_of(root: Element, spaces: dict[str, str], name: str) -> str:
    """The version that the namespace of a root element names.

    Raises:
        InputError: the namespace is none of them; the text lists those that are read.
    """
    if version := spaces.get(namespace(root)):
        return version
    known = ", ".join(f"{space} ({version})" for space, version in spaces.items())
    raise InputError(
        f"{name}:{root.sourceline or 1}:1: <{local_name(root)}> is in the namespace "
        f"{namespace(root) or '(none)'}; expected {known}. Export it under one of these."
    )
