"""The links of the chains and the root over their heads."""

from __future__ import annotations

from hashlib import sha256

import pytest
from hypothesis import given
from hypothesis import strategies as st

from register.rules.chain import canonical, digest, inclusion, leaf, link, root, root_by


def tree_hash(leaves: list[bytes]) -> bytes:
    """RFC 9162, section 2.1.1, written from its text: MTH({}) is the hash of nothing, one leaf is
    itself here (already hashed with 0x00), else split at the largest power of two below n."""
    if not leaves:
        return sha256(b"").digest()
    if len(leaves) == 1:
        return leaves[0]
    split = 1
    while split * 2 < len(leaves):
        split *= 2
    return sha256(b"\x01" + tree_hash(leaves[:split]) + tree_hash(leaves[split:])).digest()


@given(st.lists(st.binary(min_size=32, max_size=32), max_size=40))
def test_the_root_is_the_merkle_tree_hash_of_rfc_9162(leaves: list[bytes]) -> None:
    assert root(leaves) == tree_hash(leaves).hex()


def test_a_leaf_is_hashed_with_the_prefix_of_leaves() -> None:
    """RFC 9162, 2.1.1: MTH({d(0)}) = HASH(0x00 || d(0))."""
    written = b'["item","17",3,"ab"]'
    assert leaf("item", "17", 3, "ab") == sha256(b"\x00" + written).digest()


def test_the_empty_tree_has_the_hash_of_nothing() -> None:
    """RFC 9162, 2.1.1: MTH({}) = HASH(); SHA-256 of nothing as in FIPS 180-4 examples."""
    assert root([]) == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"


def test_the_order_of_the_keys_makes_no_difference() -> None:
    assert canonical({"b": 1, "a": ["é", None]}) == canonical({"a": ["é", None], "b": 1})


def test_a_link_depends_on_the_hash_before_and_on_the_body() -> None:
    assert len({link("a", "x"), link("b", "x"), link("a", "y")}) == 3


def test_the_same_text_under_another_salt_has_another_digest() -> None:
    assert digest("salt", "Ines Carrow") != digest("pepper", "Ines Carrow")


@given(st.lists(st.binary(min_size=32, max_size=32), min_size=1, max_size=40), st.data())
def test_a_leaf_and_the_hashes_beside_its_way_give_the_root(
    leaves: list[bytes], data: st.DataObject
) -> None:
    """RFC 9162, 2.1.3: the proof of each leaf is verified by the algorithm of 2.1.3.2."""
    at = data.draw(st.integers(0, len(leaves) - 1))
    beside = inclusion(leaves, at)
    assert len(beside) <= (len(leaves) - 1).bit_length()
    assert root_by(leaves[at], at, len(leaves), beside) == root(leaves)


def test_a_proof_that_is_too_long_or_too_short_proves_nothing() -> None:
    leaves = [bytes([one]) * 32 for one in range(5)]
    beside = inclusion(leaves, 2)
    for wrong in (beside[:-1], [*beside, beside[0]]):
        with pytest.raises(ValueError, match="hashes than the tree"):
            root_by(leaves[2], 2, 5, wrong)
    assert root_by(leaves[3], 2, 5, beside) != root(leaves)
