"""Writing on the page: live words offered in open braces, Markdown by its usual keys, lists that go on, plain paste."""

from __future__ import annotations

from PySide6.QtCore import QMimeData, Qt
from PySide6.QtGui import QGuiApplication, QTextCursor

from lessonkit.lesson.lesson import Note
from lessonkit.pages.flow import pages_of
from lessonkit.pages.page import TITLE_PLACE
from tests.desktop.conftest import FIRST_NOTE, Driver

LEFT = Qt.MouseButton.LeftButton


def begin(driver: Driver, place: str = "last") -> None:
    """Write in an empty note."""
    driver.click(place)
    driver.press(Qt.Key.Key_Return)
    driver.control(Qt.Key.Key_A)
    driver.press(Qt.Key.Key_Backspace)


def text(driver: Driver, place: str = "last") -> str:
    block = driver.lesson.block(place)
    assert isinstance(block, Note)
    return block.text


def offered(driver: Driver) -> list[str]:
    offering = driver.notebook.desk.writing.offering
    return [] if offering is None else [offer.source for offer in offering.offers]


def test_a_brace_offers_what_can_follow_and_enter_takes_it(driver: Driver) -> None:
    """The teacher need not know the words by heart."""
    begin(driver)
    driver.type("Play {")
    assert offered(driver)[:2] == ["{Imaj7}", "{iim7}"]
    driver.type("IV")
    assert offered(driver)[0] == "{IVmaj7}"
    driver.press(Qt.Key.Key_Return)
    driver.type(" now")
    assert text(driver) == "Play {IVmaj7} now"
    assert "A♭maj7" in driver.notebook.desk.writing.answer


def test_offers_are_chosen_by_the_arrows_and_by_tab(driver: Driver) -> None:
    """Down goes through the list while the words keep the focus."""
    begin(driver)
    driver.type("{notes ")
    driver.press(Qt.Key.Key_Down)
    driver.press(Qt.Key.Key_Tab)
    assert text(driver) == "{notes iim7}"


def test_offers_are_chosen_by_the_mouse(driver: Driver) -> None:
    """A click puts the offer in and writing goes on."""
    begin(driver)
    driver.type("{sc")
    offering = driver.notebook.desk.writing.offering
    assert offering is not None
    item = offering.list.item(0)
    driver.qtbot.mouseClick(offering.list.viewport(), LEFT, pos=offering.list.visualItemRect(item).center())
    driver.type(".")
    assert text(driver) == "{scale}."


def test_escape_closes_the_offers_and_then_the_writing(driver: Driver) -> None:
    """One step at a time."""
    begin(driver)
    driver.type("{")
    driver.press(Qt.Key.Key_Escape)
    assert offered(driver) == []
    assert driver.notebook.desk.writing.box is not None
    driver.type("V")
    assert offered(driver)
    driver.press(Qt.Key.Key_Escape)
    driver.press(Qt.Key.Key_Escape)
    assert driver.notebook.desk.writing.box is None


def test_an_old_live_word_is_replaced_whole(driver: Driver) -> None:
    """Choosing inside a closed word leaves no second half behind."""
    begin(driver)
    driver.type("{V7} x")
    box = driver.notebook.desk.writing.box
    assert box is not None
    cursor = box.textCursor()
    cursor.setPosition(1)
    box.setTextCursor(cursor)
    driver.press(Qt.Key.Key_Down)
    driver.press(Qt.Key.Key_Return)
    assert text(driver) == "{iim7} x"


def test_the_offers_follow_the_key(driver: Driver) -> None:
    """The result beside an offer is the lesson's."""
    begin(driver)
    driver.type("{")
    offering = driver.notebook.desk.writing.offering
    assert offering is not None
    assert offering.offers[0].result == "E♭maj7"


def test_the_sentence_is_shown_as_it_prints(driver: Driver) -> None:
    """Live words are resolved as one types on."""
    begin(driver)
    driver.type("First. In {key} it is {V7} here")
    assert driver.notebook.desk.writing.answer == "Prints: In E♭ major it is B♭7 here"


def test_ctrl_b_and_ctrl_i_set_and_take_marks(driver: Driver) -> None:
    """The keys of every text program write the marks that print bold and italic."""
    begin(driver)
    driver.type("slow hands")
    driver.control(Qt.Key.Key_B)
    assert text(driver) == "slow **hands**"
    driver.control(Qt.Key.Key_I)
    assert text(driver) == "slow ***hands***"
    driver.control(Qt.Key.Key_I)
    driver.control(Qt.Key.Key_B)
    assert text(driver) == "slow hands"


def test_bold_with_nothing_selected_waits_for_words(driver: Driver) -> None:
    """The caret stands between the marks."""
    begin(driver)
    driver.control(Qt.Key.Key_B)
    driver.type("now")
    assert text(driver) == "**now**"


def test_lists_go_on_and_end_with_an_empty_item(driver: Driver) -> None:
    """Enter writes the next mark, and Enter behind an empty one ends the list."""
    begin(driver)
    driver.type("1. One")
    driver.press(Qt.Key.Key_Return)
    driver.type("Two")
    driver.press(Qt.Key.Key_Return)
    driver.press(Qt.Key.Key_Return)
    driver.type("After")
    assert text(driver) == "1. One\n2. Two\nAfter"


def test_a_dash_list_goes_on(driver: Driver) -> None:
    """With its own mark."""
    begin(driver)
    driver.type("- left")
    driver.press(Qt.Key.Key_Return)
    driver.type("right")
    assert text(driver) == "- left\n- right"


def test_only_plain_words_are_pasted(driver: Driver) -> None:
    """What looks another way elsewhere comes in as words; control signs stay outside."""
    begin(driver)
    content = QMimeData()
    content.setHtml("<b>bold</b>")
    content.setText("plain\x07 words")
    QGuiApplication.clipboard().setMimeData(content)
    driver.control(Qt.Key.Key_V)
    assert text(driver) == "plain words"
    driver.press(Qt.Key.Key_Escape)
    driver.click(TITLE_PLACE)
    driver.control(Qt.Key.Key_A)
    content = QMimeData()
    content.setText("two\nlines")
    QGuiApplication.clipboard().setMimeData(content)
    driver.control(Qt.Key.Key_V)
    assert driver.lesson.title == "two lines"


def test_undo_takes_an_offer_back_in_the_box_too(driver: Driver) -> None:
    """What was taken from the offers is an edit as any other."""
    driver.click(FIRST_NOTE)
    driver.press(Qt.Key.Key_Return)
    before = text(driver, FIRST_NOTE)
    driver.type(" {V")
    driver.press(Qt.Key.Key_Return)
    driver.control(Qt.Key.Key_Z)
    assert text(driver, FIRST_NOTE) == before
    box = driver.notebook.desk.writing.box
    assert box is not None
    assert box.textCursor().position() <= len(before)
    box.moveCursor(QTextCursor.MoveOperation.End)


def test_a_letter_lays_no_page_out_anew(driver: Driver) -> None:
    """In a long lesson that would cost more than the letter; when writing ends the pages are those that print."""
    begin(driver)
    driver.type("One")
    before = driver.notebook.desk.drawn.pages
    driver.type(" and two")
    assert driver.notebook.desk.drawn.pages is before
    assert text(driver) == "One and two"
    driver.press(Qt.Key.Key_Escape)
    driver.settle()
    assert driver.notebook.desk.drawn.pages == pages_of(driver.lesson)


def test_undo_while_writing_shows_on_the_page(driver: Driver) -> None:
    """What is taken back elsewhere is laid out, although somebody writes."""
    driver.click("broken")
    driver.press(Qt.Key.Key_Delete)
    begin(driver)
    driver.type("x")
    driver.control(Qt.Key.Key_Z)
    driver.control(Qt.Key.Key_Z)
    driver.control(Qt.Key.Key_Z)
    driver.press(Qt.Key.Key_Escape)
    driver.settle()
    assert driver.notebook.desk.drawn.pages == pages_of(driver.lesson)
