"""Engines that a class's tables are asked of, started here; what they did, as they tell it; and how far apart two
results are."""

import json
import os
import re
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import Any

from recall.base.dataclass import asdict


@contextmanager
def cluster() -> Iterator[str]:
    """The address of a standalone Spark master with two workers of one core each, gone afterwards."""
    import pyspark

    home = Path(pyspark.__file__).parent
    address, kind = "spark://127.0.0.1:17077", "org.apache.spark.deploy"
    settings = os.environ | {
        "SPARK_HOME": str(home),
        "SPARK_LOCAL_IP": "127.0.0.1",
        "PYSPARK_PYTHON": sys.executable,
    }
    work = tempfile.mkdtemp()
    started = [
        subprocess.Popen(
            [str(home / "bin" / "spark-class"), f"{kind}.{name}", *words],
            env=settings,
            stderr=subprocess.DEVNULL,
        )
        for name, words in (
            ("master.Master", ["--host", "127.0.0.1", "--port", "17077", "--webui-port", "0"]),
            *[("worker.Worker", ["-c", "1", "-m", "2g", "-d", work, "--webui-port", "0", address])] * 2,
        )
    ]
    try:
        time.sleep(20)
        yield address
    finally:
        for one in reversed(started):
            one.terminate()
        for one in started:
            one.wait()
        shutil.rmtree(work, ignore_errors=True)


def figures(found: Any) -> Iterator[Any]:
    """All that is in a result, in order."""
    if hasattr(type(found), "__fields__"):
        yield from figures(asdict(found))
    elif isinstance(found, Mapping):
        for name, value in sorted(found.items()):
            yield from (name, *figures(value))
    elif isinstance(found, (list, tuple)):
        for value in found:
            yield from figures(value)
    else:
        yield str(found) if isinstance(found, date) else found


def apart(one: Any, other: Any) -> float:
    """The largest difference of two results' figures, infinite where words, dates or counts differ. Each a list of
    `figures`."""
    if len(one) != len(other):
        return float("inf")
    most = 0.0
    for a, b in zip(one, other, strict=True):
        if isinstance(a, float) and isinstance(b, float):
            most = max(most, abs(a - b))
        elif a != b:
            return float("inf")
    return most


class Meter:
    """What an engine did since the last look, as it tells it: DuckDB by a profile of each statement (its EXPLAIN
    ANALYZE, as JSON), Spark by the metrics of its stages and the plans of its statements."""

    def __init__(self, tables: Any, *, spread: bool) -> None:
        self.backend = tables.answers.get_backend()
        self.spread = spread
        self.seen = 0
        self.before: dict[str, int] = {}
        if spread:
            self.look()

    def plan(self, expression: Any) -> dict[str, int]:
        """DuckDB alone: bytes read, and rows that each sort of operator of an expression gave."""
        sql = self.backend.compile(expression)
        told = json.loads(self.backend.con.execute(f"EXPLAIN (ANALYZE, FORMAT json) {sql}").fetchall()[0][1])
        rows = {"bytes read": int(told["io"]["total_bytes_read"])}
        waiting = list(told["operator"])
        while waiting:
            node = waiting.pop()
            waiting += node.get("children", [])
            if node.get("intermediate_rows"):
                rows[node["type"]] = rows.get(node["type"], 0) + int(node["intermediate_rows"])
        return rows

    def look(self) -> dict[str, Any]:
        """Spark alone: bytes and rows read and shuffled, processor time of its executors and what was shuffled by,
        since the last look."""
        session = self.backend._session
        context = session.sparkContext
        time.sleep(1)  # its listeners are told late
        gateway, store = context._gateway, context._jsc.sc().statusStore()
        stages = store.stageList(
            gateway.jvm.java.util.ArrayList(), False, False, gateway.new_array(gateway.jvm.double, 0),
            gateway.jvm.java.util.ArrayList(),
        )  # fmt: skip
        now = {"read": 0, "shuffled": 0, "rows": 0, "cpu": 0, "spilled": 0}
        for at in range(stages.size()):
            one = stages.apply(at)
            now["read"] += one.inputBytes()
            now["shuffled"] += one.shuffleWriteBytes()
            now["rows"] += one.shuffleWriteRecords()
            now["cpu"] += one.executorCpuTime()
            now["spilled"] += one.diskBytesSpilled()
        since = {name: value - self.before.get(name, 0) for name, value in now.items()}
        self.before = now
        told = session._jsparkSession.sharedState().statusStore().executionsList()
        keys: list[str] = []
        for at in range(self.seen, told.size()):
            text = told.apply(at).physicalPlanDescription()
            for found in re.findall(r"hashpartitioning\(([^)]*)\)", text):
                names = [re.sub(r"#\d+L?", "", one).strip() for one in found.split(",")]
                keys.append(" × ".join(name for name in names if not name.isdigit() and name))
        self.seen = told.size()
        return since | {"by": sorted(set(keys))}


def memory() -> int:
    """The largest memory of this process so far, MB."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss >> 10
