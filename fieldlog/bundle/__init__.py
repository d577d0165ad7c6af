"""The signed record of a rig: what it holds, how it is signed, and what of it holds when it is read again."""
