"""Reads base64 texts, one a line, with PyYAML's binding of libyaml; prints a tree of JSON for each, or null where it is refused.

A scalar is [value, whether it is plain], a list {"list": [...]}, a mapping {"map": [[key, value], ...]}; an empty file is "".
"""
import base64
import json
import sys

import yaml


def tree(node, above=()):
    if node in above:
        raise yaml.YAMLError("a collection within itself")
    if isinstance(node, yaml.ScalarNode):
        return [node.value, not node.style]
    if isinstance(node, yaml.SequenceNode):
        return {"list": [tree(item, above + (node,)) for item in node.value]}
    return {"map": [[tree(key, above + (node,)), tree(value, above + (node,))] for key, value in node.value]}


with open(sys.argv[1], encoding="ascii") as texts:
    for line in texts:
        try:
            root = yaml.compose(base64.b64decode(line).decode("utf-8"), Loader=yaml.CSafeLoader)
            print(json.dumps("" if root is None else tree(root)))
        except (yaml.YAMLError, RecursionError):
            print("null")
