"""Right-to-left titles without the extra that turns them: named, never printed wrong way round."""

from cutfiles.report import script


def test_without_the_libraries_a_script_is_named(monkeypatch):
    monkeypatch.setattr(script, "_can_turn", lambda: False)
    assert [run.text for run in script.runs("Tafel שלום 12")] == ["Tafel [Hebrew] 12"]


def test_with_them_it_is_turned():
    (run,) = script.runs("שלום")
    assert run.text == "שלום"[::-1]
