"""The first tables."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from lidoff.store.columns import NUMBER

revision = "0001"
down_revision = None


def upgrade() -> None:
    op.create_table(
        "attachment",
        sa.Column("hash", sa.Text(), nullable=False),
        sa.Column("size", sa.BigInteger(), nullable=False),
        sa.Column("media_type", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("hash", name="pk_attachment"),
    )
    op.create_table(
        "study",
        sa.Column("key", sa.Integer(), nullable=False),
        sa.Column("id", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("key", name="pk_study"),
        sa.UniqueConstraint("id", name="uq_study_id"),
    )
    op.create_table(
        "record",
        sa.Column("key", sa.Integer(), nullable=False),
        sa.Column("study", sa.Integer(), nullable=False),
        sa.Column("pack", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("place", sa.BigInteger(), nullable=False),
        sa.ForeignKeyConstraint(["study"], ["study.key"], name="fk_record_study", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("key", name="pk_record"),
        sa.UniqueConstraint("study", "pack", "kind", "id", name="uq_record_study_pack_kind_id"),
    )
    op.create_table(
        "revision",
        sa.Column("study", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("number", sa.BigInteger(), autoincrement=False, nullable=False),
        sa.Column("made", sa.DateTime(timezone=True), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("summary", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["study"], ["study.key"], name="fk_revision_study", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("study", "number", name="pk_revision"),
    )
    op.create_table(
        "attachment_link",
        sa.Column("study", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("revision", sa.BigInteger(), autoincrement=False, nullable=False),
        sa.Column("pack", sa.Text(), nullable=False),
        sa.Column("hash", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["hash"], ["attachment.hash"], name="fk_attachment_link_hash"),
        sa.ForeignKeyConstraint(
            ["study", "revision"],
            ["revision.study", "revision.number"],
            name="fk_attachment_link_study_revision",
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("study", "revision", "pack", "hash", name="pk_attachment_link"),
    )
    op.create_table(
        "change",
        sa.Column("record", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("why", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["record"], ["record.key"], name="fk_change_record", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("record", name="pk_change"),
    )
    op.create_table(
        "edit",
        sa.Column("record", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("place", sa.BigInteger(), autoincrement=False, nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("target_kind", sa.Text(), nullable=False),
        sa.Column("target", sa.Text(), nullable=False),
        sa.Column("field", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["record"], ["record.key"], name="fk_edit_record", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("record", "place", name="pk_edit"),
    )
    op.create_table(
        "extra",
        sa.Column("record", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("place", sa.BigInteger(), autoincrement=False, nullable=False),
        sa.Column("heading", sa.Text(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["record"], ["record.key"], name="fk_extra_record", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("record", "place", name="pk_extra"),
    )
    op.create_table(
        "fact",
        sa.Column("record", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("label", sa.Text(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("key", sa.Text(), nullable=True),
        sa.Column("position", sa.BigInteger(), nullable=False),
        sa.Column("origin", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["record"], ["record.key"], name="fk_fact_record", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("record", name="pk_fact"),
    )
    op.create_table(
        "item",
        sa.Column("record", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("number", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("parent", sa.Text(), nullable=True),
        sa.Column("position", sa.BigInteger(), nullable=False),
        sa.Column("remarks", sa.Text(), nullable=False),
        sa.Column("origin", sa.Text(), nullable=False),
        sa.Column("held", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(["record"], ["record.key"], name="fk_item_record", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("record", name="pk_item"),
    )
    op.create_table(
        "joint",
        sa.Column("record", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("first_text", sa.Text(), nullable=False),
        sa.Column("second_text", sa.Text(), nullable=False),
        sa.Column("first", sa.Text(), nullable=True),
        sa.Column("second", sa.Text(), nullable=True),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("tool", sa.Text(), nullable=False),
        sa.Column("direction", sa.Text(), nullable=False),
        sa.Column("live", sa.Boolean(), nullable=True),
        sa.Column("reusable", sa.Boolean(), nullable=True),
        sa.Column("position", sa.BigInteger(), nullable=False),
        sa.Column("remarks", sa.Text(), nullable=False),
        sa.Column("origin", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["record"], ["record.key"], name="fk_joint_record", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("record", name="pk_joint"),
    )
    op.create_table(
        "marking",
        sa.Column("record", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("place", sa.BigInteger(), autoincrement=False, nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("origin", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["record"], ["record.key"], name="fk_marking_record", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("record", "place", name="pk_marking"),
    )
    op.create_table(
        "mention",
        sa.Column("record", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("slot", sa.Text(), nullable=False),
        sa.Column("place", sa.BigInteger(), autoincrement=False, nullable=False),
        sa.Column("target", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["record"], ["record.key"], name="fk_mention_record", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("record", "slot", "place", name="pk_mention"),
    )
    op.create_table(
        "pack",
        sa.Column("record", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["record"], ["record.key"], name="fk_pack_record", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("record", name="pk_pack"),
    )
    op.create_table(
        "question",
        sa.Column("record", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("where", sa.Text(), nullable=False),
        sa.Column("what", sa.Text(), nullable=False),
        sa.Column("taken", sa.Text(), nullable=False),
        sa.Column("proposed", sa.Text(), nullable=False),
        sa.Column("answer", sa.Text(), nullable=True),
        sa.Column("file", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["record"], ["record.key"], name="fk_question_record", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("record", name="pk_question"),
    )
    op.create_table(
        "reading",
        sa.Column("record", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("slot", sa.Text(), nullable=False),
        sa.Column("place", sa.BigInteger(), autoincrement=False, nullable=False),
        sa.Column("value", NUMBER, nullable=False),
        sa.Column("unit", sa.Text(), nullable=False),
        sa.Column("basis", sa.Text(), nullable=False),
        sa.Column("shape", sa.Text(), nullable=False),
        sa.Column("u", NUMBER, nullable=False),
        sa.Column("low", NUMBER, nullable=True),
        sa.Column("high", NUMBER, nullable=True),
        sa.Column("stated", sa.Boolean(), nullable=False),
        sa.Column("instrument", sa.Text(), nullable=True),
        sa.Column("origin", sa.Text(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("count", sa.BigInteger(), nullable=False),
        sa.ForeignKeyConstraint(["record"], ["record.key"], name="fk_reading_record", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("record", "slot", "place", name="pk_reading"),
    )
    op.create_table(
        "rejection",
        sa.Column("record", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("where", sa.Text(), nullable=False),
        sa.Column("why", sa.Text(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("file", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["record"], ["record.key"], name="fk_rejection_record", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("record", name="pk_rejection"),
    )
    op.create_table(
        "removal",
        sa.Column("record", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("ordinal", sa.BigInteger(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("conditions", sa.Text(), nullable=False),
        sa.Column("origin", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["record"], ["record.key"], name="fk_removal_record", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("record", name="pk_removal"),
    )
    op.create_table(
        "revision_entry",
        sa.Column("study", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("revision", sa.BigInteger(), autoincrement=False, nullable=False),
        sa.Column("pack", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("before", sa.Text(), nullable=True),
        sa.Column("after", sa.Text(), nullable=True),
        sa.ForeignKeyConstraint(
            ["study", "revision"],
            ["revision.study", "revision.number"],
            name="fk_revision_entry_study_revision",
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("study", "revision", "pack", "kind", "id", name="pk_revision_entry"),
    )
    op.create_index("ix_revision_entry_study_id", "revision_entry", ["study", "id"], unique=False)
    op.create_table(
        "scenario",
        sa.Column("record", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("volume", NUMBER, nullable=False),
        sa.Column("life", NUMBER, nullable=False),
        sa.Column("price_book", sa.Text(), nullable=False),
        sa.Column("region", sa.Text(), nullable=True),
        sa.Column("currency", sa.Text(), nullable=True),
        sa.Column("year", sa.BigInteger(), nullable=True),
        sa.ForeignKeyConstraint(["record"], ["record.key"], name="fk_scenario_record", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("record", name="pk_scenario"),
    )
    op.create_table(
        "step",
        sa.Column("record", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("number", sa.Text(), nullable=False),
        sa.Column("does", sa.Text(), nullable=False),
        sa.Column("day", sa.BigInteger(), nullable=False),
        sa.Column("start", NUMBER, nullable=True),
        sa.Column("finish", NUMBER, nullable=True),
        sa.Column("tool", sa.Text(), nullable=False),
        sa.Column("items_text", sa.Text(), nullable=False),
        sa.Column("is_break", sa.Boolean(), nullable=False),
        sa.Column("position", sa.BigInteger(), nullable=False),
        sa.Column("remarks", sa.Text(), nullable=False),
        sa.Column("origin", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["record"], ["record.key"], name="fk_step_record", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("record", name="pk_step"),
    )
    op.create_table(
        "study_head",
        sa.Column("record", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["record"], ["record.key"], name="fk_study_head_record", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("record", name="pk_study_head"),
    )
    op.create_table(
        "word",
        sa.Column("record", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("slot", sa.Text(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("means", sa.Text(), nullable=True),
        sa.Column("evidence", sa.Text(), nullable=False),
        sa.Column("origin", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["record"], ["record.key"], name="fk_word_record", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("record", "slot", name="pk_word"),
    )
    op.create_table(
        "edit_value",
        sa.Column("record", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("place", sa.BigInteger(), autoincrement=False, nullable=False),
        sa.Column("node", sa.BigInteger(), autoincrement=False, nullable=False),
        sa.Column("parent", sa.BigInteger(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("type", sa.Text(), nullable=False),
        sa.Column("number", NUMBER, nullable=True),
        sa.Column("whole", sa.BigInteger(), nullable=True),
        sa.Column("text", sa.Text(), nullable=True),
        sa.ForeignKeyConstraint(
            ["record", "place"],
            ["edit.record", "edit.place"],
            name="fk_edit_value_record_place",
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(["record"], ["record.key"], name="fk_edit_value_record", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("record", "place", "node", name="pk_edit_value"),
    )
    op.create_table(
        "reading_choice",
        sa.Column("record", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("slot", sa.Text(), nullable=False),
        sa.Column("place", sa.BigInteger(), autoincrement=False, nullable=False),
        sa.Column("rank", sa.BigInteger(), autoincrement=False, nullable=False),
        sa.Column("value", NUMBER, nullable=False),
        sa.Column("probability", NUMBER, nullable=False),
        sa.ForeignKeyConstraint(
            ["record", "slot", "place"],
            ["reading.record", "reading.slot", "reading.place"],
            name="fk_reading_choice_record_slot_place",
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("record", "slot", "place", "rank", name="pk_reading_choice"),
    )
    op.create_table(
        "reading_shared",
        sa.Column("record", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("slot", sa.Text(), nullable=False),
        sa.Column("place", sa.BigInteger(), autoincrement=False, nullable=False),
        sa.Column("rank", sa.BigInteger(), autoincrement=False, nullable=False),
        sa.Column("stream", sa.Text(), nullable=False),
        sa.Column("u", NUMBER, nullable=False),
        sa.ForeignKeyConstraint(
            ["record", "slot", "place"],
            ["reading.record", "reading.slot", "reading.place"],
            name="fk_reading_shared_record_slot_place",
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("record", "slot", "place", "rank", name="pk_reading_shared"),
    )


def downgrade() -> None:
    op.drop_table("reading_shared")
    op.drop_table("reading_choice")
    op.drop_table("edit_value")
    op.drop_table("word")
    op.drop_table("study_head")
    op.drop_table("step")
    op.drop_table("scenario")
    op.drop_index("ix_revision_entry_study_id", table_name="revision_entry")
    op.drop_table("revision_entry")
    op.drop_table("removal")
    op.drop_table("rejection")
    op.drop_table("reading")
    op.drop_table("question")
    op.drop_table("pack")
    op.drop_table("mention")
    op.drop_table("marking")
    op.drop_table("joint")
    op.drop_table("item")
    op.drop_table("fact")
    op.drop_table("extra")
    op.drop_table("edit")
    op.drop_table("change")
    op.drop_table("attachment_link")
    op.drop_table("revision")
    op.drop_table("record")
    op.drop_table("study")
    op.drop_table("attachment")
