"""The command as a person or a program meets it: verbs, words, streams, exit codes."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from vectorprep.errors import ExitCode

ROOT = Path(__file__).resolve().parents[2]
BOX = '<svg xmlns="http://www.w3.org/2000/svg" width="100" height="100"><path d="M20 30h40v50H20z" fill="{ink}"/></svg>'
KEYS = {"schema", "verb", "version", "engine", "artworks", "pairs", "outputs", "findings", "summary"}


def run(*words: str, cwd: Path | None = None) -> subprocess.CompletedProcess[str]:
    """The command in a process of its own."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONUTF8": "1", "OPENBLAS_NUM_THREADS": "1"}
    return subprocess.run(
        [sys.executable, "-m", "vectorprep", *words],
        capture_output=True,
        text=True,
        cwd=cwd,
        env=environment,
        check=False,
        timeout=120,
    )


@pytest.fixture
def art(tmp_path: Path) -> Path:
    """A folder with one orange and one black drawing."""
    folder = tmp_path / "art"
    folder.mkdir()
    (folder / "orange.svg").write_text(BOX.format(ink="#e2672b"))
    (folder / "black.svg").write_text(BOX.format(ink="#000000"))
    return folder


def test_the_bare_command_and_help_show_examples_first_then_the_verbs() -> None:
    """Both print the same page; the examples stand before the verbs."""
    bare, helped = run(), run("--help")
    assert bare.stdout == helped.stdout
    assert bare.returncode == helped.returncode == 0
    assert 0 < bare.stdout.index("vectorprep convert drawings/") < bare.stdout.index("Verbs")
    for verb in ("convert", "audit", "recolour", "measure", "decide", "proof", "profiles", "verify", "explain"):
        assert verb in bare.stdout


def test_help_loads_no_heavy_library() -> None:
    """Neither numpy nor lxml nor an engine is imported for a page of help, which is what keeps it quick."""
    code = "import sys; from vectorprep.cli import main; main(['--help']); print(sorted(m for m in sys.modules if '.' not in m))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT, check=True)
    loaded = done.stdout.splitlines()[-1]
    for heavy in ("numpy", "lxml", "PIL", "resvg_py", "svg2png_py", "tinycss2", "fontTools", "sqlite3"):
        assert f"'{heavy}'" not in loaded


@pytest.mark.parametrize("verb", ["convert", "audit", "recolour", "measure", "decide", "proof", "profiles", "verify", "explain"])
def test_every_verb_has_a_page_of_help(verb: str) -> None:
    """`VERB --help` names its options."""
    done = run(verb, "--help")
    assert done.returncode == 0
    assert "--format" in done.stdout


def test_json_is_exactly_one_object_on_stdout(art: Path, tmp_path: Path) -> None:
    """`--format json` prints the contract's object and nothing else; messages go to stderr."""
    done = run(
        "convert",
        str(art),
        "--out",
        str(tmp_path / "out"),
        "--product",
        "tee-sleeve-short-dtf",
        "--blank",
        "navy",
        "--format",
        "json",
    )
    record = json.loads(done.stdout)
    assert set(record) >= KEYS
    assert (record["schema"], record["verb"]) == (1, "convert")
    assert done.returncode == ExitCode.FINE
    pair = next(pair for pair in record["pairs"] if pair["artwork"] == "black")
    assert {
        "verdict",
        "verdict_after",
        "decided_by",
        "outline_faded",
        "contrast_ratio",
        "delta_e",
        "deciding",
        "treatment",
        "swaps",
    } <= set(pair)
    manifest = json.loads((tmp_path / "out" / "manifest.json").read_text())
    assert set(manifest) >= KEYS


def test_every_verb_prints_the_same_kind_of_object(art: Path) -> None:
    """Verbs leave empty what they do not produce."""
    for words in (
        ("measure", str(art)),
        ("audit", str(art), "--product", "tee-sleeve-short-dtf", "--blank", "white"),
        ("profiles",),
        ("explain", "ink-lost"),
    ):
        record = json.loads(run(*words, "--format", "json").stdout)
        assert set(record) >= KEYS, words


def test_exit_codes_tell_what_happened(art: Path, tmp_path: Path) -> None:
    """Findings 1, usage 2, some refused 3, as the published table says."""
    sleeve = ("--product", "tee-sleeve-short-dtf")
    assert run("audit", str(art), *sleeve, "--blank", "black").returncode == ExitCode.FINDINGS
    assert run("audit", str(art), *sleeve, "--blank", "black", "--fail-on", "never").returncode == ExitCode.FINE
    assert run("audit", str(art), "--product", "no-such").returncode == ExitCode.USAGE
    assert run("audit", str(tmp_path / "nothing")).returncode == ExitCode.USAGE
    (art / "broken.svg").write_text("<svg")
    assert run("audit", str(art), *sleeve, "--blank", "black").returncode == ExitCode.SOME_FAILED


def test_errors_are_words_with_a_remedy_and_never_a_traceback(art: Path, tmp_path: Path) -> None:
    """What is wrong and how to mend it stands on stderr; stdout stays empty."""
    for words in (
        ("audit", str(art), "--product", "tee-adult-front-dgt"),
        ("audit", str(art), "--blank", "nawy"),
        ("convrt", str(art)),
        ("explain", "ink-lsot"),
        ("verify", str(tmp_path)),
        ("convert", str(art), "--out", str(art)),
    ):
        done = run(*words)
        assert done.stdout == ""
        assert done.returncode in {ExitCode.USAGE, ExitCode.FOLDER}
        assert "Traceback" not in done.stderr
    assert "tee-adult-front-dtg" in run("audit", str(art), "--product", "tee-adult-front-dgt").stderr
    assert "did you mean 'ink-lost'" in run("explain", "ink-lsot").stderr
    assert "convert" in run("convrt").stderr


def test_a_broken_profile_is_refused_with_all_its_faults(art: Path, tmp_path: Path) -> None:
    """Each fault names file and key; a misspelt key names the nearest; nothing is written."""
    folder = tmp_path / "products"
    folder.mkdir()
    (folder / "tee-mine.toml").write_text('based_on = "tee-adult-front-dtg"\nresolution_pip = 300\nbleed_mm = -4\n')
    done = run("convert", str(art), "--out", str(tmp_path / "out"), "--profiles", str(folder))
    assert done.returncode == ExitCode.USAGE
    assert "resolution_ppi" in done.stderr
    assert "bleed_mm" in done.stderr
    assert "tee-mine.toml" in done.stderr
    assert not (tmp_path / "out").exists()


def test_a_product_of_ones_own_needs_one_file_and_no_code(art: Path, tmp_path: Path) -> None:
    """A record in a folder of one's own is listed, explained and made."""
    folder = tmp_path / "products"
    folder.mkdir()
    (folder / "banner-small.toml").write_text(
        'based_on = "poster-iso-a3"\nname = "A small banner"\nprint_area_mm = [100, 50]\nresolution_ppi = 72\n'
    )
    assert "banner-small" in run("profiles", "--profiles", str(folder)).stdout
    assert "A small banner" in run("profiles", "banner-small", "--profiles", str(folder)).stdout
    done = run("convert", str(art), "--out", str(tmp_path / "out"), "--profiles", str(folder), "--product", "banner-small")
    assert done.returncode == ExitCode.FINE
    assert (tmp_path / "out" / "orange--banner-small--as-drawn.png").exists()


def test_measure_says_page_and_ink_in_both_units(art: Path) -> None:
    """The page of 100 CSS px is 1.04 in = 26.5 mm (CSS Values 4: 96 px to the inch)."""
    done = run("measure", str(art / "orange.svg"))
    assert "1.04 x 1.04 in (26.5 x 26.5 mm)" in done.stdout
    assert "#e2672b" in done.stdout


def test_an_overlay_shows_the_boxes(art: Path, tmp_path: Path) -> None:
    """`measure --overlay` writes a picture in which the frame of the ink box is drawn."""
    from PIL import Image

    target = tmp_path / "boxes.png"
    assert run("measure", str(art / "orange.svg"), "--overlay", str(target)).returncode == 0
    with Image.open(target) as picture:
        colours = {colour for _, colour in picture.convert("RGB").getcolors(1 << 20) or []}
    assert (0xD0, 0x1C, 0x5B) in colours
    assert (0xE2, 0x67, 0x2B) in colours


def test_works_from_any_folder_with_settings_beside_the_drawings(art: Path, tmp_path: Path) -> None:
    """A relative path from another working folder finds the settings that lie beside the drawings."""
    (art / "vectorprep.toml").write_text('products = ["tee-sleeve-short-dtf"]\n[artworks."orange"]\ntitle = "An Orange"\n')
    done = run("convert", "art", "--out", "out", "--blank", "white", cwd=tmp_path)
    assert done.returncode == ExitCode.FINE
    assert "An Orange" in (tmp_path / "out" / "outputs.csv").read_text()


def test_a_reader_that_goes_away_ends_the_command_quietly(art: Path) -> None:
    """`| head -1` costs no traceback."""
    words = f"{sys.executable} -m vectorprep explain | head -1"
    done = subprocess.run(["bash", "-c", words], capture_output=True, text=True, cwd=ROOT, check=False, timeout=60)
    assert "Traceback" not in done.stderr


def test_control_characters_in_a_name_do_not_reach_the_terminal(art: Path) -> None:
    """A file name with an escape sequence is shown escaped."""
    (art / "evil\x1b[31m.svg").write_text(BOX.format(ink="#e2672b"))
    done = run("measure", str(art))
    assert "\x1b" not in done.stdout


def test_a_press_is_named_by_its_profile_and_anything_else_is_refused(art: Path, tmp_path: Path) -> None:
    """`audit --press` names inks beyond the profile; a text file or a missing one is exit code 2 with words."""
    pyvips = pytest.importorskip("pyvips")
    profile = tmp_path / "press.icc"
    profile.write_bytes(bytes(pyvips.Operation.call("profile_load", "cmyk")))
    (art / "green.svg").write_text(BOX.format(ink="#00ff00"))
    asked = ("audit", str(art), "--product", "poster-iso-a3", "--press")
    found = json.loads(run(*asked, str(profile), "--format", "json", "--no-second-opinion").stdout)["findings"]
    assert {finding["artwork"] for finding in found if finding["check"] == "colour-out-of-gamut"} == {"green"}
    for wrong, words in ((art / "green.svg", "no ICC profile"), (tmp_path / "gone.icc", "no such file")):
        refused = run(*asked, str(wrong))
        assert refused.returncode == ExitCode.USAGE
        assert words in refused.stderr


def test_the_settings_may_name_the_press_beside_them(art: Path) -> None:
    """A path in the settings is relative to their file, and the limit of total ink is theirs."""
    pyvips = pytest.importorskip("pyvips")
    (art / "press.icc").write_bytes(bytes(pyvips.Operation.call("profile_load", "cmyk")))
    (art / "vectorprep.toml").write_text('press = "press.icc"\ntotal_ink_limit_percent = 150\n')
    asked = ("audit", str(art), "--product", "poster-iso-a3", "--format", "json", "--no-second-opinion")
    found = json.loads(run(*asked).stdout)["findings"]
    assert {finding["artwork"] for finding in found if finding["check"] == "total-ink-over-limit"} >= {"black"}
