"""Namespaces of QTI, each with the version that it stands for.

Source: 1EdTech QTI 1.2 ASI XML binding (2002), QTI 2.1 (2012), 2.2 (2015) and 3.0 (2022) schemas.
"""

from __future__ import annotations

from typing import NoReturn

from pipeline.errors import InputError
from pipeline.standards.xml_reading import Element, local_name, namespace

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
    version = spaces.get(namespace(root))
    return version if version else _refuse(root, spaces, name)


def _refuse(root: Element, spaces: dict[str, str], name: str) -> NoReturn:
    known = ", ".join(f"{space} ({version})" for space, version in spaces.items())
    raise InputError(
        f"{name}:{root.sourceline or 1}:1: <{local_name(root)}> is in the namespace "
        f"{namespace(root) or '(none)'}; expected {known}. Export it under one of these."
    )
