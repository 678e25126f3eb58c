"""A run over many drawings: each in a worker, results gathered in the order of their names, files delivered as they come.

Comes in: a `Setup`, an out folder or none. Goes out: the run's record. One bad artwork never stops the others.
Never done here: the work on one artwork (`job`), how files are written (`store`).
"""

from __future__ import annotations

import hashlib
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from vectorprep.deflate import ENCODER
from vectorprep.engine.versions import chosen, full_version
from vectorprep.errors import ArtworkFailed, ArtworkRefused, VectorprepError
from vectorprep.model import Encoded
from vectorprep.pipeline.allowance import memory_allowed_mb, time_allowed
from vectorprep.pipeline.choices import is_remedied
from vectorprep.pipeline.delivery import deliver, spread
from vectorprep.pipeline.estimate import estimated_bytes
from vectorprep.pipeline.memory import Remembered, Rules, covers, joined, remembered, rules_of, to_text
from vectorprep.pipeline.options import Progress, ProgressCallback
from vectorprep.pipeline.refusals import refusal
from vectorprep.pipeline.setup import Drawing, Scope, Setup, known_products
from vectorprep.pipeline.workshop import Job, JobResult, Variant
from vectorprep.report.records import output_record
from vectorprep.run.capacity import default_jobs
from vectorprep.run.ledger import Ledger
from vectorprep.run.supervisor import Supervisor
from vectorprep.run.tasks import Crashed, Done, Emitted, Event, Limits, Started, Task
from vectorprep.settings import effective
from vectorprep.store import OutFolder, read_source

if TYPE_CHECKING:
    from vectorprep.run.cluster import Cluster

SOURCE_BYTES_MAX = 20_000_000  # the largest of 8,121 open drawings has 1.7 MB; house value
MEMORY_PER_JOB_MB = 600  # house value: a worker on a 4500 x 5100 px canvas with blurs
SECOND_WALL_S = 15.0  # house value: a proof of 1000 px takes a second renderer milliseconds, large blurs apart
RESULT = dict[str, Any]


@dataclass(slots=True)
class Tally:
    """What a run has gathered so far, by artwork."""

    total: int
    results: dict[str, RESULT] = field(default_factory=dict)
    outputs: dict[str, list[RESULT]] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)
    bugs: list[str] = field(default_factory=list)
    """What went wrong inside the tool itself, with its traceback; each cost one artwork."""
    progress: ProgressCallback | None = None
    begun: float = field(default_factory=time.monotonic)
    made: int = 0
    thumbnails: list[Encoded] = field(default_factory=list)
    """Pictures for the page of an audit, which has no folder for them."""

    def add(self, name: str, result: RESULT, outputs: list[RESULT], *, is_new: bool = True) -> None:
        """Takes one artwork's result and says how far the run is."""
        self.results[name] = result
        self.outputs[name] = outputs
        self.made += is_new
        if self.progress is not None:
            done = len(self.results)
            spent = time.monotonic() - self.begun
            left = spent / self.made * (self.total - done) if self.made and done < self.total else None
            self.progress(
                Progress(done=done, total=self.total, artwork=name, status=result["artwork"]["status"], seconds_left=left)
            )


@dataclass(slots=True)
class Batch:
    """One run. `folder` and `ledger` are there where files are written."""

    setup: Setup
    tally: Tally
    engine_words: str
    folder: OutFolder | None = None
    ledger: Ledger | None = None
    has_second: bool = False
    """Whether a second renderer looks at each drawing."""
    _open: dict[str, _Open] = field(default_factory=dict)
    _second: dict[str, tuple[_Open, RESULT]] = field(default_factory=dict)
    _add: Callable[[Task], None] = field(default=lambda _: None)

    def carry_out(self) -> None:
        """Works through all drawings, largest first.

        Raises:
            Stopped: by a signal; what was delivered stays.
            FolderError: the out folder refuses a step.
        """
        with self._room() as room:
            self._add = room.add
            for event in room.run(self.tasks()):
                self.take(event)

    def take(self, event: Event) -> None:
        """Takes what a worker says of one artwork; its files are delivered when it has ended."""
        if event.id in self._second:
            self._settle(event)
        elif isinstance(event, Started):
            self._open[event.id].encoded.clear()
        elif isinstance(event, Emitted):
            if isinstance(event.value, Encoded):
                self._open[event.id].encoded.append(event.value)
        elif isinstance(event, Done):
            self._done(event)
        else:
            self._crashed(event)

    def _room(self) -> Cluster | Supervisor:
        """Where the work is done: on a cluster, or by workers of this machine."""
        workshop = self.setup.workshop()
        init = ("vectorprep.pipeline.job:set_up", workshop)
        limits = Limits(memory_mb=memory_allowed_mb(self.setup.products, has_pictures=self.setup.pictures is not None))
        if self.setup.options.scheduler is not None:
            from vectorprep.run.cluster import Cluster

            alike = ("vectorprep.pipeline.batch:words_of", workshop.engine, self.engine_words)
            return Cluster(self.setup.options.scheduler, init=init, alike=alike, limits=limits)
        jobs = self.setup.options.jobs or self.setup.settings.jobs or default_jobs(MEMORY_PER_JOB_MB)
        return Supervisor(max(1, min(jobs, len(self.setup.drawings))), init=init, limits=limits)

    def tasks(self) -> Iterator[Task]:
        """What is to be done for the drawings that are not kept, each read when it is asked for."""
        # The longest first, so that no worker is left alone with one at the end; bytes are the best guess before reading.
        for drawing in sorted(self.setup.drawings, key=lambda drawing: (-drawing.source.bytes, drawing.source.name)):
            task = self._task(drawing)
            if task is not None:
                yield task

    def _task(self, drawing: Drawing) -> Task | None:
        """The task of a drawing; None where it is kept, or cannot be read."""
        source = drawing.source
        job = Job(name=source.name, slug=drawing.slug, path=source.path, sha256="", data=b"")
        try:
            job = self._read(drawing)
        except ArtworkRefused as error:
            self.tally.add(source.name, _plain(refusal(job, error)), [])
            return None
        asked = self.setup.scope(source.name)
        before = remembered(self.ledger.job(source.name)) if self.ledger is not None else None
        scope = joined(asked, known_products(self.setup.catalogue.products, before.scope)) if before else asked
        rules = self._rules(drawing, job, scope)
        if before is not None and self._is_kept(before, rules, scope):
            self.tally.add(source.name, before.result, [{**output, "state": "kept"} for output in before.outputs], is_new=False)
            return None
        self._open[source.name] = _Open(job=job, rules=rules, scope=scope)
        payload = Job(
            name=job.name,
            slug=job.slug,
            path=job.path,
            sha256=job.sha256,
            data=job.data,
            scope=tuple(scope.items()),
            variants=job.variants,
        )
        remedied = sum(is_remedied(effective(self.setup.settings, source.name, key)) for key in scope)
        limit_s = self.setup.options.time_limit_s
        products = [self.setup.catalogue.products[key] for key in scope]
        pairs = sum(map(len, scope.values()))
        step_s, wall_s = time_allowed(products, pairs, limit_s, pictures=self._pictures(scope), remedied=remedied)
        return Task(id=source.name, function="vectorprep.pipeline.job:carry_out", payload=payload, step_s=step_s, wall_s=wall_s)

    def _pictures(self, scope: Scope) -> int:
        """How many product pictures an artwork gets at most."""
        scenes = self.setup.pictures.scenes if self.setup.pictures is not None else ()
        return sum(len(blanks) for key, blanks in scope.items() for scene in scenes if scene.shows(key))

    def _read(self, drawing: Drawing) -> Job:
        data = read_source(drawing.source, SOURCE_BYTES_MAX)
        variants = []
        for when, source in drawing.variants:
            own = read_source(source, SOURCE_BYTES_MAX)
            variants.append(Variant(when=when, name=source.name, sha256=_sha256(own), data=own))
        return Job(
            name=drawing.source.name,
            slug=drawing.slug,
            path=drawing.source.path,
            sha256=_sha256(data),
            data=data,
            variants=tuple(variants),
        )

    def _rules(self, drawing: Drawing, job: Job, scope: Scope) -> Rules:
        sources = (job.sha256, *(variant.sha256 for variant in job.variants))
        return rules_of(self.setup, drawing, sources=sources, engine=self.engine_words, scope=scope)

    def _is_kept(self, before: Remembered, rules: Rules, scope: Scope) -> bool:
        """Whether nothing it depends on has changed and its files lie there untouched."""
        if self.folder is None or not before.rules.hold(rules) or not covers(before.scope, scope):
            return False
        found = self.folder.hash_all([output["path"] for output in before.outputs])
        return all(found[output["path"]] == (output["sha256"], output["bytes"]) for output in before.outputs)

    def _done(self, event: Done) -> None:
        opened = self._open.pop(event.id)
        result = event.value
        if not isinstance(result, JobResult):
            raise TypeError(f"the job of {event.id} gave {type(result).__name__}")
        plain = _plain(result)
        if self.has_second and plain["artwork"]["status"] == "ok":
            self._second[f"second {event.id}"] = (opened, plain)
            task = Task(
                id=f"second {event.id}", function="vectorprep.pipeline.second:compare", payload=opened.job, wall_s=SECOND_WALL_S
            )
            self._add(task)
        else:
            self._take(opened, plain)

    def _settle(self, event: Event) -> None:
        """Takes an artwork once the second renderer has spoken, or could not."""
        if not isinstance(event, (Done, Crashed)):
            return
        opened, plain = self._second.pop(event.id)
        if isinstance(event, Done) and isinstance(event.value, list):
            plain["artwork"]["findings"] += event.value
            plain["findings"] += event.value
        elif isinstance(event, Crashed):
            self.tally.notes.append(f"{opened.job.name}: the second renderer gave no picture ({event.reason}); the first one did")
        self._take(opened, plain)

    def _crashed(self, event: Crashed) -> None:
        opened = self._open.pop(event.id)
        if event.kind == "exception":
            self.tally.bugs.append(f"{event.id}: {event.reason}\n{event.detail}")
        error = event.error if isinstance(event.error, (ArtworkRefused, ArtworkFailed)) else _failed(event.error)
        opened.encoded.clear()
        self._take(opened, _plain(refusal(opened.job, error)))

    def _take(self, opened: _Open, result: RESULT) -> None:
        """Delivers the files of one artwork, if any, and takes its result."""
        encoded = spread(opened.encoded, per_blank=self.setup.options.per_blank)
        if self.setup.verb == "audit":
            self.tally.thumbnails += encoded
            self.tally.add(opened.job.name, result, [])
            return
        if self.folder is None or self.ledger is None:
            records = [output_record(item.output) for item in encoded]
            planned = [{**record, "bytes": record["bytes"] or estimated_bytes(record)} for record in records]
            self.tally.add(opened.job.name, result, planned)
            return
        status = result["artwork"]["status"]
        try:
            outputs = deliver(
                encoded,
                folder=self.folder,
                ledger=self.ledger,
                artwork=opened.job.name,
                record_of=lambda records: to_text(opened.rules, opened.scope, result, records),
                state=status,
            )
        except ArtworkFailed as error:
            self.tally.add(opened.job.name, _plain(refusal(opened.job, error)), [])
            return
        self.tally.add(opened.job.name, result, outputs)


@dataclass(slots=True)
class _Open:
    """An artwork that is being worked on."""

    job: Job
    rules: Rules
    scope: Scope
    encoded: list[Encoded] = field(default_factory=list)


def engine_words(setup: Setup) -> str:
    """Names and versions of rasteriser and encoder, as they stand in the manifest."""
    return words_of(setup.workshop().engine)


def words_of(engine: str | None) -> str:
    """Names and versions of that rasteriser, or of the one chosen by itself, and of the encoder, as installed here."""
    name = chosen(engine)
    return f"{name} {full_version(name)}; {ENCODER}"


def _plain(result: JobResult) -> RESULT:
    return {
        "artwork": result.artwork,
        "pairs": list(result.pairs),
        "findings": list(result.findings),
        "sizes": list(result.sizes),
        "title": result.title,
    }


def _failed(error: VectorprepError) -> ArtworkFailed:
    return ArtworkFailed(error.message, fix=error.fix, code=error.code or "crashed")


def _sha256(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
