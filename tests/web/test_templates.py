"""Templates fit into one another: nothing is put into a block that no page has."""

from jinja2 import nodes


def parent_of(tree):
    for node in tree.find_all(nodes.Extends):
        return node.template.value
    return None


def blocks_of(app, name):
    """Every block a page of this template has, its own and its ancestors'."""
    tree = app.jinja_env.parse(app.jinja_env.loader.get_source(app.jinja_env, name)[0])
    own = {node.name for node in tree.find_all(nodes.Block)}
    parent = parent_of(tree)
    return own | (blocks_of(app, parent) if parent else set())


def test_every_block_that_a_template_fills_is_one_its_parent_has(app):
    lost = []
    for name in app.jinja_env.list_templates(extensions=["html"]):
        tree = app.jinja_env.parse(app.jinja_env.loader.get_source(app.jinja_env, name)[0])
        parent = parent_of(tree)
        known = blocks_of(app, parent) if parent else set()
        filled = [node.name for node in tree.body if isinstance(node, nodes.Block)]
        lost += [f"{name}: {block}" for block in filled if parent and block not in known]
    assert lost == []
