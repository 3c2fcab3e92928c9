"""Nothing in the repository ties it to one machine or to one place to download from."""

import re

from tests.house.repository import ROOT, repository_files, text_lines

# Pages that a reader is sent to. Whatever is fetched by a program is named by package, never by address.
# A drawing names its vocabularies by addresses that nobody fetches.
PAGES = {
    "127.0.0.1",
    "creativecommons.org",
    "doi.org",
    "json-schema.org",
    "keepachangelog.com",
    "localhost",
    "matplotlib.org",
    "purl.org",
    "semver.org",
    "www.apache.org",
    "www.w3.org",
}
ADDRESS = re.compile(r"\b(?:https?|ssh|git)://([^/\s\"'<>)\]:]+)", re.IGNORECASE)
OPTIONS = re.compile("--(?:extra-)?" + "index-url|--find" + '-links|"resolved"' + ":")
HOMES = "|".join(["work", "tmp", "root", "home", "opt", "Users", "mnt"])
MACHINE_PATH = re.compile(rf"(?<![\w.$~\])}}/*-])/(?:{HOMES})/\w")

# The ceiling of 400 lines has these exceptions, each with its cause.
CASES = "a flat list of cases against one source, read from top to bottom"
LONG_FILES = {
    "tests/laws/test_check_values.py": CASES,
    "tests/laws/test_inverses_and_limits.py": CASES,
    "tests/reference/test_worked_example_real.py": CASES,
    "tests/weather/test_weather.py": CASES,
}
CEILING = 400


def places(pattern: re.Pattern[str]) -> list[str]:
    return [
        f"{path.relative_to(ROOT)}:{number}: {line.strip()[:100]}"
        for path in repository_files()
        for number, line in enumerate(text_lines(path), 1)
        if pattern.search(line)
    ]


def test_every_address_in_the_repository_is_a_page_for_readers():
    strange = [
        f"{path.relative_to(ROOT)}:{number}: {host}"
        for path in repository_files()
        for number, line in enumerate(text_lines(path), 1)
        for host in ADDRESS.findall(line)
        if host.lower() not in PAGES
    ]

    assert strange == []


def test_no_line_names_a_place_to_download_from():
    assert places(OPTIONS) == []


def test_no_line_names_a_path_of_one_machine():
    assert places(MACHINE_PATH) == []


def test_the_patterns_find_what_they_look_for():
    assert ADDRESS.findall("see http" + "://files.example.net/x.whl") == ["files.example.net"]
    assert MACHINE_PATH.search("cd /" + "home/someone/project")
    assert not MACHINE_PATH.search("src/brinewright/" + "work/x and ~/" + "work/x")
    assert OPTIONS.search("pip install --" + "index-url x")


def test_pinned_requirements_have_a_hash_each_and_no_address():
    for path in sorted((ROOT / "requirements").glob("*.txt")):
        text = path.read_text()
        pins = re.findall(r"^[a-z0-9][\w.-]*==", text, re.MULTILINE | re.IGNORECASE)
        hashed = re.findall(r"^[a-z0-9][^\n]*\\\n    --hash=sha256:", text, re.MULTILINE | re.IGNORECASE)

        assert pins, path
        assert len(pins) == len(hashed), path
        assert "://" not in text, path


def test_no_source_file_is_longer_than_the_ceiling():
    sources = [path for path in repository_files() if path.suffix in {".py", ".ts", ".tsx", ".css"}]
    lengths = {path.relative_to(ROOT).as_posix(): len(text_lines(path)) for path in sources}
    long = {name for name, length in lengths.items() if length > CEILING}

    assert long - set(LONG_FILES) == set()
    assert set(LONG_FILES) - set(lengths) == set()


def test_every_package_folder_of_the_source_says_what_it_is():
    silent = [
        path.relative_to(ROOT).as_posix()
        for path in repository_files()
        if path.name == "__init__.py"
        and path.is_relative_to(ROOT / "src")
        and not path.read_text().lstrip().startswith(('"""', 'r"""'))
    ]

    assert silent == []
