#include "checker/mend/functions.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace loomward {
namespace {

constexpr double kept_share = 0.85;  // no source: drop and temperature may change what a load takes

bool is_served(EdgeRole role) {
    return uses(role) || role == EdgeRole::charger;
}

bool keeps_its_wires(Kind kind) {
    return kind == Kind::switch_ || kind == Kind::contactor || kind == Kind::relay ||
           kind == Kind::selector || kind == Kind::charger;
}

bool tells_of_wrong_feed(std::string_view rule) {
    constexpr std::array<std::string_view, 12> rules = {
        "wrong-rail",     "input-voltage", "reversed",     "undervoltage",  "floating", "mode-contradicts",
        "charge-voltage", "bms-direction", "coil-voltage", "cannot-be-fed", "past-bms", "blocking-diode"};
    return std::find(rules.begin(), rules.end(), rule) != rules.end();
}

}  // namespace

Functions functions_of(const Results& results) {
    Functions functions;
    const Harness& harness = *results.harness;
    std::map<ModeId, bool> solved;
    for (const OperatingPoint& point : results.points) {
        const bool usable = point.usable();
        const auto [at, fresh] = solved.emplace(point.mode, usable);
        at->second = at->second && usable;
        if (!usable) continue;
        const std::string mode(harness.modes[point.mode.index()].name);
        for (std::size_t i = 0; i < results.circuit.edges.size(); ++i) {
            const Edge& edge = results.circuit.edges[i];
            if (!edge.part || !is_served(edge.role)) continue;
            Served& most = functions.served[{mode, std::string(harness.part(edge.part).name)}];
            const double now_A = std::abs(point.edge_A[i]);
            most.current_A = std::max(most.current_A, now_A);
            most.power_W = std::max(most.power_W, now_A * std::abs(point.node_V[edge.from.index()] -
                                                                   point.node_V[edge.to.index()]));
            most.hands_on = edge.role == EdgeRole::converter_input;
        }
    }
    functions.modes = solved.size();
    for (const auto& [mode, usable] : solved) functions.modes_solved += usable ? 1 : 0;
    const auto join = [&](TerminalId terminal) {
        if (keeps_its_wires(harness.part(harness.terminal(terminal).part).kind))
            functions.joined.insert(std::string(harness.terminal(terminal).path));
    };
    for (const Wire& wire : harness.wires) join(wire.from), join(wire.to);
    for (const Joint& joint : harness.joints) join(joint.a), join(joint.b);
    for (const Finding& finding : results.findings)
        if (finding.part && finding.severity != Severity::note && tells_of_wrong_feed(finding.rule))
            functions.doubted.insert(std::string(harness.part(finding.part).name));
    return functions;
}

std::string lost_function(const Functions& before, const Functions& after, const Plan& plan) {
    for (const std::string& terminal : before.joined)
        if (!after.joined.contains(terminal)) return "nothing lands on " + terminal;
    const auto share_of = [&](const std::string& part) {
        for (const auto& [key, change] : plan)
            if ((key.verb == Verb::setting || change.gives_less) && key.where == part && change.from > 0)
                return kept_share * change.value / change.from;
        return kept_share;
    };
    constexpr double nothing_A = 1e-3;
    // What takes a power takes less current at more voltage: kept is what has its current or its power.
    const auto kept = [&](const std::pair<std::string, std::string>& key, const Served& was) {
        const auto now = after.served.find(key);
        if (now == after.served.end()) return false;
        const double share = share_of(key.second);
        // What hands on takes what is asked of it: that it is fed is enough, for what it feeds is looked at.
        if (was.hands_on) return now->second.current_A >= nothing_A;
        return now->second.current_A >= share * was.current_A || now->second.power_W >= share * was.power_W;
    };
    // What is fed wrongly has to be fed in some mode afterwards, whatever it takes then.
    const auto served_anywhere = [&](const std::string& part) {
        return std::any_of(after.served.begin(), after.served.end(), [&](const auto& entry) {
            return entry.first.second == part && entry.second.current_A >= nothing_A;
        });
    };
    for (const auto& [key, was] : before.served) {
        if (was.current_A < nothing_A) continue;
        const bool lost =
            before.doubted.contains(key.second) ? !served_anywhere(key.second) : !kept(key, was);
        if (lost) return key.second + " in mode " + key.first;
    }
    return {};
}

}  // namespace loomward
