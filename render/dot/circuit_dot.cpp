#include "render/dot/circuit_dot.hpp"

#include <fmt/format.h>

#include "render/text/characters.hpp"

namespace loomward {
namespace {

// Between double quotes; `\l` ends a line there, so a backslash of a name is doubled.
std::string quoted(std::string_view text) {
    std::string out = "\"";
    for (const char c : printable(text)) {
        if (c == '"' || c == '\\') out += '\\';
        out += c;
    }
    return out + '"';
}

std::string edge_label(const Edge& edge, const Harness& harness) {
    if (edge.wire) {
        const Wire& wire = harness.wire(edge.wire);
        return wire.size_text.empty() ? std::string(wire.name)
                                      : fmt::format("{} {}", wire.name, wire.size_text);
    }
    if (!edge.part) return std::string(row(edge.role).name);
    return fmt::format("{} {}", harness.part(edge.part).name, row(edge.role).name);
}

std::string edge_style(EdgeRole role) {
    if (role == EdgeRole::wire) return "";
    if (role == EdgeRole::joint) return ", style=dotted";
    if (is_source(role)) return ", style=bold, dir=forward";
    return opens_on_current(role) ? ", style=bold" : ", style=dashed";
}

}  // namespace

std::string circuit_dot(const Results& results) {
    const Circuit& circuit = results.circuit;
    const Harness& harness = *circuit.harness;
    std::vector<std::string> points(circuit.node_count());
    for (std::size_t i = 0; i < harness.terminals.size(); ++i) {
        std::string& names = points[circuit.node_of_terminal[i].index()];
        names += (names.empty() ? "" : " ") + std::string(harness.terminals[i].path);
    }
    std::string out = fmt::format("graph {} {{\n  node [shape=box, fontname=sans]\n  edge [fontname=sans]\n",
                                  quoted(harness.title));
    for (std::size_t i = 0; i < points.size(); ++i)
        out += fmt::format("  n{} [label={}]\n", i, quoted(points[i]));
    for (const Edge& edge : circuit.edges)
        out += fmt::format("  n{} -- n{} [label={}{}]\n", edge.from.index(), edge.to.index(),
                           quoted(edge_label(edge, harness)), edge_style(edge.role));
    return out + "}\n";
}

}  // namespace loomward
