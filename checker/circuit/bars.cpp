#include "checker/circuit/bars.hpp"

namespace loomward {

std::vector<bool> bars(const Circuit& circuit) {
    const Harness& harness = *circuit.harness;
    std::vector<bool> bar(circuit.node_count(), false);
    for (std::size_t i = 0; i < harness.terminals.size(); ++i) {
        const Kind kind = harness.part(harness.terminals[i].part).kind;
        if (kind == Kind::busbar || kind == Kind::terminal_block || kind == Kind::stud ||
            kind == Kind::frame || kind == Kind::fuse_block)
            bar[circuit.node(TerminalId(i)).index()] = true;
    }
    return bar;
}

}  // namespace loomward
