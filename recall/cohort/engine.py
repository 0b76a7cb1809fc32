"""Where a class's tables are asked: an engine on this computer, or one that is spread over many, by one set
of expressions."""

import warnings
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pyarrow as pa
import pyarrow.parquet as pq

from recall.base.dataclass import dataclass
from recall.base.errors import RecallError
from recall.cohort.columns import ANSWERS, MEMORIES
from recall.cohort.taken import KEPT, private_folder

if TYPE_CHECKING:
    from ibis.expr.types import Table

ENGINES = ("duckdb", "spark")


@dataclass(frozen=True, slots=True)
class Engine:
    """Where it is asked. name: one of ENGINES; master: address of the spread one; data: the folder of kept
    Parquet, where it lies elsewhere than in the class's folder. Raises RecallError for an unknown name."""

    name: str = ENGINES[0]
    master: str = ""
    data: Path | None = None

    def __post_init__(self) -> None:
        """Refuse an unknown name."""
        if self.name not in ENGINES:
            raise RecallError(f"there is no engine `{self.name}`", f"engines are: {', '.join(ENGINES)}")


HERE = Engine()
"""DuckDB, on this computer."""
MEMORY = "600MB"
"""What the engine on this computer may hold at once; the rest goes to the disk."""


@dataclass(frozen=True, slots=True)
class Tables:
    """The tables of one deck: `columns.py` says what stands in them. sums: see `summed`, by card, of first
    answers of a day as cards are asked now; now: answers as cards are asked now; answers: those to earlier
    answers too."""

    sums: "Table"
    now: "Table"
    answers: "Table"
    memories: "Table"
    cards: "Table"


def open_tables(folder: Path, deck: str, cards: pa.Table, engine: Engine = HERE) -> Tables:
    """The tables of a deck in a class's folder. Raises RecallError for an engine that isn't there."""
    kept = engine.data or folder / KEPT
    file = kept / "cards" / f"{deck}.parquet"
    private_folder(file.parent)
    pq.write_table(cards, file)
    for part, schema in (("answers", ANSWERS), ("memories", MEMORIES)):
        if not any((kept / part / f"deck={deck}").glob("*.parquet")):
            nobody = kept / part / f"deck={deck}" / "nobody.parquet"
            private_folder(nobody.parent)
            pq.write_table(schema.empty_table().drop_columns(["deck"]), nobody)
    connection, stem = _duckdb() if engine.name == "duckdb" else _spark(engine.master)
    answers, memories = (
        connection.read_parquet(
            f"{kept / part / f'deck={deck}'}{stem}", table_name=f"{part}_{deck}".replace("-", "_")
        )
        for part in ("answers", "memories")
    )
    asked = connection.read_parquet(str(file), table_name=f"cards_{deck}".replace("-", "_"))
    now = answers.semi_join(asked, ["card", "hash"])
    sums = summed(now.filter(now.opens), ["card"])
    held = connection.create_table("sums", sums, temp=True) if engine.name == "duckdb" else sums.cache()
    return Tables(held, now, answers, memories, asked)


def summed(answers: "Table", keys: list[str]) -> "Table":
    """What a person's answers come to, by keys: how many (n) and right ones (r); of those of which recall was
    foretold how many (of), the recall foretold of them all (foretold) and right ones (came)."""
    right, told = answers.right.cast("int64"), answers.told
    return answers.group_by([*keys, "person"]).agg(
        n=answers.count(),
        r=right.sum(),
        foretold=told.sum().fill_null(0.0),
        of=told.count(),
        came=(right * told.notnull().cast("int64")).sum(),
    )


def _duckdb() -> tuple[Any, str]:
    import ibis

    connection = ibis.duckdb.connect()
    connection.raw_sql(f"SET memory_limit = '{MEMORY}'")
    return connection, "/*.parquet"


def _spark(master: str) -> tuple[Any, str]:
    try:
        import ibis
        from pyspark.sql import SparkSession
    except ImportError:
        raise RecallError(
            "Spark isn't installed here",
            "install it with `pip install '.[spark]'` in the folder of the program, and Java 17",
        ) from None
    warnings.filterwarnings("ignore", category=FutureWarning, module="pyspark")
    session = (
        SparkSession.builder.master(master or "local[*]")
        .appName("recall")
        .config("spark.ui.enabled", "false")
        .config("spark.ui.showConsoleProgress", "false")
        .config("spark.sql.session.timeZone", "UTC")
        .getOrCreate()
    )
    context, parts = session.sparkContext, "spark.sql.shuffle.partitions"
    context.setLogLevel("ERROR")
    if not context.getConf().contains(parts):
        session.conf.set(parts, str(4 * context.defaultParallelism))
    return ibis.pyspark.connect(session), ""
