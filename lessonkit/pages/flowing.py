"""The flow of one lesson's blocks onto pages, again and again: only what an edit can have moved is laid out anew.

What comes out is what laying everything out would give. A page that begins with a run of items which stay together is
the same page wherever those items come in the lesson, unless it is the first; so all pages before the first block that
differs are kept, and as soon as a new page begins with items behind the last one that differs, where an old page did,
the old pages follow.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from operator import is_not

from lessonkit.lesson import prose
from lessonkit.lesson.cautions import caution_of
from lessonkit.lesson.lesson import Aid, Block, Heading, Lesson
from lessonkit.lesson.page_aid import At
from lessonkit.lesson.scene import has_own_care
from lessonkit.pages.blocks import draw_block, look_of
from lessonkit.pages.ending import broken_ended, ended, place_at_foot
from lessonkit.pages.head import caution_parts, furniture, head_of, strips_of, whose_page
from lessonkit.pages.layout import Layout, Leaf
from lessonkit.pages.page import Page, PlacedBlock
from lessonkit.pages.page_look import PageLook
from lessonkit.pages.paper import SHEETS, Sheet
from lessonkit.pages.parting import A_PAGE_SAVED, EASY_TO_SAVE, LENIENT, MOST_DRAWN_IN
from lessonkit.pages.parts import BlockDrawing, Part, Turn
from lessonkit.pages.pieces import Above, Below, Cluster, Item, Piece, clusters, pieces_of
from lessonkit.values import dataclass

Draw = Callable[[Block], BlockDrawing]

ANSWERS = "Answers"
"""The heading under which answers stand; theirs is the last of its level in a lesson."""

HEAD = "head"
"""The name of the piece above the first block; no block can have it."""


Sides = tuple[Sheet, PageLook, bool]


@dataclass(slots=True)
class _Flowed:
    """What was flowed last: the lesson's own pieces, and the pages that they fill."""

    sides: Sides
    """The paper, how all looks, and whether it is printed on both sides; of others nothing can stay."""
    pieces: tuple[Piece, ...]
    layout: Layout


class Flowing:
    """Lays pages out, remembering the last ones."""

    def __init__(self) -> None:
        self._last: _Flowed | None = None
        self._lenient: _Flowed | None = None
        self._broken: list[tuple[list[Leaf], list[Leaf]]] = []
        self._ending: tuple[list[Leaf], float, list[Leaf]] = ([], 0.0, [])

    def pages(
        self,
        lesson: Lesson,
        drawn: Draw,
        answers: Iterable[tuple[Block, BlockDrawing]] = (),
        look: PageLook | None = None,
        is_numbered: bool = True,
        is_whole: bool = True,
    ) -> tuple[Page, ...]:
        """The pages of a lesson whose blocks ``drawn`` draws; see ``flow``."""
        look = look or look_of(lesson)
        sides = (SHEETS[lesson.paper], look, lesson.house.is_two_sided)
        last = self._last if self._last is not None and self._last.sides == sides else None
        pairs = ((block, drawn(block)) for block in lesson.blocks)
        before = last.pieces if last is not None else ()
        pieces = (_head_piece(lesson, look, before), *pieces_of(pairs, before))
        layout = _filled(pieces, Layout(*sides), last)
        self._last = _Flowed(sides, pieces, layout)
        layout = self._drawn_in(sides, pieces, layout)
        # What follows the lesson's own parts comes on copies, so that these serve the next flow.
        foot = _foot(lesson, drawn, look, is_whole)
        whole = replace(layout, leaves=self._ended(pieces, layout, sum(part.drawing.height for _, part in foot)))
        at_foot = place_at_foot(foot, whole)
        _place_answers(lesson, tuple(answers), whole, pieces)
        return _finished(lesson, whole, at_foot, is_numbered)

    def _drawn_in(self, sides: Sides, pieces: tuple[Piece, ...], layout: Layout) -> Layout:
        """The pages; where the last one is short, fuller ones if these save it at little cost."""
        is_short = layout.y < EASY_TO_SAVE * layout.room and not layout.is_asked_to_break
        if not is_short or not 1 < len(layout.leaves) <= MOST_DRAWN_IN:
            return layout
        last = self._lenient if self._lenient is not None and self._lenient.sides == sides else None
        lenient = _filled(pieces, Layout(*sides, strictness=LENIENT), last)
        self._lenient = _Flowed(sides, pieces, lenient)
        more = sum(leaf.cost for leaf in lenient.leaves) - sum(leaf.cost for leaf in layout.leaves)
        return lenient if len(lenient.leaves) < len(layout.leaves) and more < A_PAGE_SAVED else layout

    def _ended(self, pieces: Sequence[Piece], layout: Layout, foot: float) -> list[Leaf]:
        """The pages with their ends; those of before where the pages that end so are the same ones."""
        known, self._broken = self._broken, []
        leaves = list(layout.leaves)
        for number, leaf in enumerate(layout.leaves[:-1]):
            if leaf.is_broken and number:
                pair = layout.leaves[number - 1 : number + 1]
                kept = next((new for old, new in known if not any(map(is_not, old, pair))), None)
                new = broken_ended(pieces, layout, number) if kept is None else kept
                self._broken.append((pair, new))
                leaves[number - 1 : number + 1] = new or pair
        last = layout.leaves[-2:]
        known_last, known_foot, end = self._ending
        if len(last) != len(known_last) or foot != known_foot or any(map(is_not, last, known_last)):
            end = ended(pieces, layout, foot)[len(layout.leaves[:-2]) :]
            self._ending = (last, foot, end)
        if len(end) != len(last) or any(map(is_not, last, end)):
            leaves[-2:] = end
        return leaves


def _head_piece(lesson: Lesson, look: PageLook, before: Sequence[Piece]) -> Piece:
    """The head of the first page; the one from before where it is the same."""
    items = tuple(Item(part, name, 0, part.above, part.keeps) for name, part in head_of(lesson, look))
    if before and before[0].items == items:
        return before[0]
    return Piece(HEAD, Lesson, False, BlockDrawing(), Above(), Below(), items, Above())


def _filled(pieces: tuple[Piece, ...], layout: Layout, last: _Flowed | None) -> Layout:
    """The pages of these pieces, those of the last flow as far as they serve."""
    if last is None:
        layout.place_all(clusters(pieces))
        return layout
    old, shift = last.layout, len(pieces) - len(last.pieces)
    most = min(len(pieces), len(last.pieces))
    same_above = next((place for place in range(most) if pieces[place] is not last.pieces[place]), most)
    if same_above == most and not shift:
        return old
    left = range(1, most - same_above + 1)
    same_below = next((back - 1 for back in left if pieces[-back] is not last.pieces[-back]), most - same_above)
    starts = {leaf.start: number for number, leaf in enumerate(old.leaves) if leaf.start is not None}

    def rest(cluster: Cluster) -> list[Leaf] | None:
        piece, place = cluster.start
        number = starts.get((piece - shift, place)) if piece >= len(pieces) - same_below else None
        # A right-hand page may end elsewhere than a left-hand one.
        if number is None or (layout.has_turns and (number + 1 - len(layout.leaves)) % 2):
            return None
        return _shifted(old.leaves[number:], shift)

    pages = range(len(old.leaves) - 1, 0, -1)
    kept = next((number for number in pages if _is_known(old.leaves[number], same_above)), 0)
    begun = old.leaves[kept]
    if kept:
        layout.leaves = [*old.leaves[:kept], Leaf(begun.start, begun.known_by)]
        layout.known_by = begun.known_by
    if layout.place_all(clusters(pieces, begun.start or (0, 0)), rest):
        return layout
    return replace(old, leaves=layout.leaves)


def _is_known(leaf: Leaf, same_above: int) -> bool:
    """Whether a page begins as it did, where so many pieces are the same ones."""
    return leaf.start is not None and leaf.known_by < same_above


def _shifted(leaves: list[Leaf], by: int) -> list[Leaf]:
    """The same pages, whose pieces come so many places later."""
    for leaf in leaves if by else ():
        if leaf.start is not None:
            leaf.start, leaf.known_by = (leaf.start[0] + by, leaf.start[1]), leaf.known_by + by
    return leaves


def _foot(lesson: Lesson, drawn: Draw, look: PageLook, is_whole: bool) -> tuple[tuple[str, Part], ...]:
    """What is kept at the foot: the line of care, unless an aid says it, and the aids that belong there."""
    care = () if has_own_care(lesson) else caution_parts(caution_of(lesson, is_whole), look)
    aids = (block for block in lesson.blocks if isinstance(block, Aid) and block.shows.at is At.FOOT)
    return (*(("", part) for part in care), *((block.id, part) for block in aids for part in drawn(block).parts))


def _place_answers(
    lesson: Lesson, answers: tuple[tuple[Block, BlockDrawing], ...], layout: Layout, pieces: tuple[Piece, ...]
) -> None:
    """The answers under a heading of their own, on a new page."""
    if not answers:
        return
    leaf, before = layout.leaves[-1], len(layout.leaves)
    layout.leaves[-1] = replace(leaf, parts=list(leaf.parts), outline=list(leaf.outline), strips=None, finished=None)
    # The answers alone begin below the head.
    if lesson.blocks:
        layout.break_page()
    heading = Heading(ANSWERS)
    own = pieces_of(((heading, draw_block(heading, lesson, layout.look)), *answers))
    pieces = (*pieces, *_of_no_block(own))
    layout.place_all(clusters(pieces, (len(pieces) - len(answers) - 1, 0)))
    if len(layout.leaves) > before + (1 if lesson.blocks else 0):
        layout.leaves = ended(pieces, layout, 0.0)


def _of_no_block(pieces: Iterable[Piece]) -> Iterator[Piece]:
    """Answers are read beside the lesson and not edited, so they belong to no block."""
    for piece in pieces:
        items = (item and replace(item, part=replace(item.part, after=Turn.FREE), block_id="") for item in piece.items)
        yield replace(piece, items=tuple(items))


def _finished(
    lesson: Lesson, layout: Layout, at_foot: tuple[int, tuple[PlacedBlock, ...]], is_numbered: bool
) -> tuple[Page, ...]:
    """The pages with their running heads and numbers; those of before where they are the same."""
    sheet, look, count = layout.sheet, layout.look, len(layout.leaves)
    title = prose.plain_line(prose.read_line(lesson.title, lesson.setting), lesson.house.label_style)
    whose = whose_page(lesson)
    title = f"{title} · for {whose}" if title and whose else title
    pages = []
    for number, leaf in enumerate(layout.leaves, 1):
        foot = at_foot[1] if number == at_foot[0] + 1 else ()
        around = (number, count, title, lesson.key, is_numbered, foot)
        if leaf.finished is None or leaf.finished[0] != around:
            if leaf.strips is None:
                leaf.strips = strips_of(leaf.parts)
            strips = leaf.strips + strips_of(foot)
            pieces = furniture(lesson, title, sheet, look, number, count, strips, is_numbered)
            page = Page(sheet.width, sheet.height, number, (*leaf.parts, *foot, *pieces), tuple(leaf.outline))
            leaf.finished = (around, page)
        pages.append(leaf.finished[1])
    return tuple(pages)
