"""Files of statements or events, read in two looks and held in memory by neither.

What xAPI and Caliper have in common stands here: a record is an answer, or says why it is none;
what it says of another record, which may stand anywhere in the file, is heard in the first look.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager
from typing import IO, Any, ClassVar

from pipeline.standards.answer_records import ItemAnswer, LaterWord, LeftOut
from pipeline.standards.json_reading import JsonRecords, mapping


class EventFile(ABC):
    """One file; made by the first look, which proves all of it.

    Attributes:
        items: questions that answers in the file are given to.
    """

    inside: ClassVar[frozenset[str]]

    def __init__(self, opened: Callable[[], AbstractContextManager[IO[bytes]]], name: str) -> None:
        """Look through the file once.

        Args:
            opened: gives its bytes from their begin, each time it is called.
            name: how messages call it.

        Raises:
            InputError: no JSON, or over a budget; names file, line and column.
        """
        self._opened, self._name = opened, name
        self.items: set[str] = set()
        with opened() as stream:
            for record in JsonRecords(stream, name, self.inside):
                self._hear(mapping(record.value))

    def answers(self, notes: list[str]) -> Iterator[ItemAnswer | LeftOut]:
        """Answers in the order of the file.

        Args:
            notes: is told what is to be known of the whole file, once all answers are drawn.
        """
        with self._opened() as stream:
            records = JsonRecords(stream, self._name, self.inside)
            for record in records:
                if record.broken:
                    yield LeftOut(record.line, record.broken)
                elif (found := self._answer(mapping(record.value), record.line)) is not None:
                    yield found
        notes.extend(self._notes(records.envelopes))

    @property
    @abstractmethod
    def later(self) -> LaterWord:
        """What it says of answers in earlier files."""

    @abstractmethod
    def _hear(self, one: Mapping[str, Any]) -> None:
        """Keep what matters to other records."""

    @abstractmethod
    def _answer(self, one: Mapping[str, Any], line: int) -> ItemAnswer | LeftOut | None:
        """An answer, or why there is none; None for what belongs to an answer."""

    @abstractmethod
    def _notes(self, envelopes: Sequence[Mapping[str, Any]]) -> Iterator[str]:
        """Sentences on the whole file."""
