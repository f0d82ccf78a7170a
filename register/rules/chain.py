"""How ledger entries are linked: canonical text, hashes, and a Merkle root over all heads.

The root follows RFC 9162, section 2.1.1 (leaf prefix 0x00, node prefix 0x01, SHA-256), so that it
can be recomputed by anyone who holds the heads.
"""

import json
from collections.abc import Mapping, Sequence
from hashlib import sha256

NOTHING = "0" * 64


def canonical(body: Mapping[str, object] | Sequence[object]) -> str:
    """The one way to write a body as text: sorted keys, no spaces, no floats."""
    return json.dumps(body, sort_keys=True, separators=(",", ":"), ensure_ascii=False)


def link(before: str, body: str) -> str:
    """The hash of an entry: over the hash before it and its canonical body."""
    return sha256(f"{before}\n{body}".encode()).hexdigest()


def digest(salt: str, text: str) -> str:
    """A salted digest that stands in the chain for a name or a free text that may be erased."""
    return sha256(f"{salt}\n{text}".encode()).hexdigest()


def leaf(kind: str, thing: str, seq: int, head: str) -> bytes:
    """The Merkle leaf of one chain's head."""
    return _node(b"\x00", canonical([kind, thing, seq, head]).encode())


def root(leaves: Sequence[bytes]) -> str:
    """The Merkle tree hash of the leaves in their order (RFC 9162, 2.1.1), in hex."""
    return _tree(leaves).hex()


def inclusion(leaves: Sequence[bytes], at: int) -> list[str]:
    """The hashes beside the way from the leaf to the root, from below (RFC 9162, 2.1.3.1), in hex."""
    if len(leaves) == 1:
        return []
    split = _split(len(leaves))
    left, right = leaves[:split], leaves[split:]
    if at < split:
        return [*inclusion(left, at), _tree(right).hex()]
    return [*inclusion(right, at - split), _tree(left).hex()]


def root_by(one: bytes, at: int, size: int, beside: Sequence[str]) -> str:
    """The root that a leaf at this place among `size` gives with the hashes beside its way, in hex.

    RFC 9162, 2.1.3.2; ValueError where there are too many or too few of them.
    """
    node, last, right = one, size - 1, at
    for each in map(bytes.fromhex, beside):
        if last == 0:
            raise ValueError("There are more hashes than the tree is high.")
        if right & 1 or right == last:
            node = _node(b"\x01", each + node)
            while not right & 1 and right:
                right, last = right >> 1, last >> 1
        else:
            node = _node(b"\x01", node + each)
        right, last = right >> 1, last >> 1
    if last:
        raise ValueError("There are fewer hashes than the tree is high.")
    return node.hex()


def _tree(leaves: Sequence[bytes]) -> bytes:
    if not leaves:
        return sha256(b"").digest()
    if len(leaves) == 1:
        return leaves[0]
    split = _split(len(leaves))
    return _node(b"\x01", _tree(leaves[:split]) + _tree(leaves[split:]))


def _split(size: int) -> int:
    """The largest power of two below the size."""
    return 1 << (size - 1).bit_length() - 1


def _node(prefix: bytes, content: bytes) -> bytes:
    return sha256(prefix + content).digest()
