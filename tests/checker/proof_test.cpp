// The proof of what guards each wire, against trying every cut on thousands of small random harnesses.
#include <fmt/format.h>

#include <catch2/catch.hpp>

#include <random>

#include "checker/protection/proof.hpp"
#include "checker/rules/rule_example.hpp"
#include "tests/checker/checking.hpp"

using namespace loomward;
using namespace loomward::testing;

namespace {

// Splices joined at random by wires and fuses, fed by packs and a charger; loads back to splices of the
// return.
std::string random_harness(std::mt19937& random) {
    const auto pick = [&](int count) { return static_cast<int>(random() % static_cast<unsigned>(count)); };
    const int forward = 3 + pick(4), back = 1 + pick(3), packs = 1 + pick(2);
    std::string text = "loom 1\nharness \"random\" { ambient 0..30 degC, insulation pvc 90 degC }\n";
    int wires = 0;
    const auto wire = [&] { return fmt::format("(W{} 4 mm2, 0.5 m)", ++wires); };
    for (int i = 0; i < forward; ++i) text += fmt::format("splice A{}\n", i);
    for (int i = 0; i < back; ++i) text += fmt::format("splice M{}\n", i);
    for (int i = 1; i < back; ++i) text += fmt::format("route M{} {} M{}\n", i, wire(), pick(i));
    if (back > 1 && pick(4) == 0) text += fmt::format("route M{} {} M0\n", back - 1, wire());
    for (int i = 1; i <= packs; ++i) {
        text += fmt::format(
            "pack B{} {{ voltage 40..50 V, resistance 20 mohm, capacity 10 Ah, discharge 90 A, charge 9 A "
            "}}\n",
            i);
        text += fmt::format("route B{0}.+ {1} A{2}\nroute B{0}.- {3} M{4}\n", i, wire(), pick(forward),
                            wire(), pick(back));
    }
    if (pick(2) == 0)
        text += fmt::format("charger G1 {{ output 50 V {} A }}\nroute G1.+ {} A{}\nroute G1.- {} M{}\n",
                            3 + pick(9), wire(), pick(forward), wire(), pick(back));
    for (int i = 1; i <= 2 + pick(4); ++i) {
        const int from = pick(forward), to = (from + 1 + pick(forward - 1)) % forward;
        text += fmt::format("fuse F{} {{ {} A, 80 V dc, breaks 2 kA at 80 V dc, curve iso8820-5 }}\n", i,
                            5 * (1 + pick(12)));
        text += fmt::format("route A{} (direct) F{} (direct) A{}\n", from, i, to);
    }
    for (int i = 0; i < pick(4); ++i) {
        const int from = pick(forward), to = (from + 1 + pick(forward - 1)) % forward;
        text += fmt::format("route A{} {} A{}\n", from, wire(), to);
    }
    for (int i = 1; i <= 1 + pick(3); ++i)
        text += fmt::format("load H{0} {{ 48 V, 10 W }}\nroute A{1} {2} H{0} {3} M{4}\n", i, pick(forward),
                            wire(), wire(), pick(back));
    return text;
}

// The slow way: every set of devices and limited sources is taken out in turn.
class EveryCut {
  public:
    EveryCut(const Circuit& circuit, const Facts& facts) : circuit_(circuit), capacities_(circuit, facts) {
        for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
            const Edge& edge = circuit.edges[i];
            const double capacity =
                is_source(edge.role) ? capacities_.source_A(edge) : capacities_.guard_A(edge, false);
            capacity_.push_back(capacity);
            if (capacity > 0 && capacity < unbounded_A) devices_.push_back(i);
        }
    }
    // The smallest sum whose loss keeps every plus from the node, with one edge taken out for nothing.
    double into(NodeId node, std::size_t without) const {
        double smallest = unbounded_A;
        for (unsigned set = 0; set < (1U << devices_.size()); ++set) {
            double sum = 0;
            std::vector<bool> out(capacity_.size(), false);
            for (std::size_t i = 0; i < devices_.size(); ++i)
                if (set & (1U << i)) out[devices_[i]] = true, sum += capacity_[devices_[i]];
            if (without < out.size()) out[without] = true;
            if (sum < smallest && !reached(out)[node.index()]) smallest = sum;
        }
        return smallest;
    }
    std::vector<bool> reached(const std::vector<bool>& out) const {
        std::vector<bool> seen(circuit_.node_count(), false);
        for (std::size_t i = 0; i < capacity_.size(); ++i)
            if (is_source(circuit_.edges[i].role) && !out[i]) seen[circuit_.edges[i].to.index()] = true;
        spread(seen, out);
        return seen;
    }
    void spread(std::vector<bool>& seen, const std::vector<bool>& out) const {
        for (bool changed = true; changed;) {
            changed = false;
            for (std::size_t i = 0; i < capacity_.size(); ++i) {
                const Edge& edge = circuit_.edges[i];
                if (is_source(edge.role) || capacity_[i] < 0 || out[i]) continue;
                if (seen[edge.from.index()] == seen[edge.to.index()]) continue;
                seen[edge.from.index()] = seen[edge.to.index()] = changed = true;
            }
        }
    }
    double forward(std::size_t wire) const {
        const Edge& edge = circuit_.edges[wire];
        return std::max(into(edge.from, wire), into(edge.to, wire));
    }
    // What arrives on one side and leaves on the other; a wire on a loop of returns sees everything on both.
    double back(std::size_t wire) const {
        const Edge& edge = circuit_.edges[wire];
        std::vector<bool> out(capacity_.size(), false);
        const std::vector<bool> fed = reached(out);
        out[wire] = true;
        const auto side = [&](NodeId end) {
            std::vector<bool> seen(circuit_.node_count(), false);
            seen[end.index()] = true;
            spread(seen, out);
            double arrives = 0, leaves = 0;
            for (std::size_t i = 0; i < capacity_.size(); ++i) {
                const Edge& each = circuit_.edges[i];
                if (is_source(each.role)) {
                    if (seen[each.from.index()]) leaves += capacity_[i];
                } else if (capacity_[i] < 0 && fed[each.from.index()] != fed[each.to.index()]) {
                    const NodeId feed = fed[each.from.index()] ? each.from : each.to;
                    const NodeId other = feed == each.from ? each.to : each.from;
                    if (seen[other.index()]) arrives = std::max(arrives, into(feed, capacity_.size()));
                }
            }
            return std::pair(arrives, leaves);
        };
        const auto [arrives_a, leaves_a] = side(edge.from);
        const auto [arrives_b, leaves_b] = side(edge.to);
        return std::max(std::min(arrives_a, leaves_b), std::min(arrives_b, leaves_a));
    }

  private:
    const Circuit& circuit_;
    Capacities capacities_;
    std::vector<double> capacity_;
    std::vector<std::size_t> devices_;
};

std::shared_ptr<const Harness> read(const std::string& text) {
    NoFiles files;
    ReadResult result = read_harness_text("random.loom", text, files, {});
    INFO(text);
    for (const Diagnostic& mistake : result.mistakes) FAIL(mistake.message);
    return std::make_shared<const Harness>(std::move(*result.harness));
}

}  // namespace

TEST_CASE("every wire of 5,000 random harnesses has the bound that trying every cut gives") {
    std::mt19937 random(20);
    std::size_t forward = 0, back = 0, unbounded = 0;
    for (int round = 0; round < 5000; ++round) {
        const std::string text = random_harness(random);
        const auto harness = read(text);
        const Circuit circuit = build_circuit(*harness);
        const Facts facts(*harness);
        const Proof proof = prove_guards(circuit, facts);
        const EveryCut slow(circuit, facts);
        for (std::size_t i = 0; i < harness->wires.size(); ++i) {
            const WireProof& wire = proof.wires[i];
            if (wire.side == Side::neither) continue;
            const std::size_t edge = circuit.edge_of_wire[i].index();
            const double expected = wire.side == Side::forward ? slow.forward(edge) : slow.back(edge);
            const double found = wire.without_electronics.current_A;
            ++(wire.side == Side::forward ? forward : back);
            unbounded += expected == unbounded_A ? 1 : 0;
            if (expected == found || std::abs(expected - found) < 1e-6) continue;
            INFO(text << "wire " << harness->wires[i].name);
            REQUIRE(found == expected);
        }
    }
    CHECK(forward > 10'000);
    CHECK(back > 5'000);
    CHECK(unbounded > 1'000);
    CHECK(unbounded < forward + back);
}

TEST_CASE("two fused feeds into one wire add up, and the cut names both") {
    const std::string text =
        replaced(std::string(example_harness), "splice X1\n",
                 "splice X1\nfuse F9 { 5 A, 80 V dc, breaks 1 kA at 80 V dc, curve iso8820-3 }\n"
                 "route F1.out (W30 1 mm2, 0.15 m, red) F9 (W31 1 mm2, 0.5 m, red) X1\n");
    const Results results = check_text(text);
    const auto wire = results.harness->find_wire("W11");
    REQUIRE(wire);
    std::vector<std::string> guards;
    for (const PartId part : results.wires[wire->index()].guards)
        guards.emplace_back(results.harness->part(part).name);
    CHECK(guards == std::vector<std::string>{"F2", "F9"});
}

TEST_CASE("a wire fed from both ends carries what one end brings, not the sum") {
    // Each of two banks brings 1.35 x 100 A to its own end of W9; 16 mm2 stands 1.45 x 123 A but not twice
    // 135 A.
    const std::string text =
        "loom 1\nharness \"two banks\" { ambient 0..30 degC, insulation xlpe 90 degC }\n"
        "part bank is pack { voltage 21..29 V, resistance 5 mohm, capacity 100 Ah, discharge 100 A, charge "
        "30 A }\n"
        "part bank-fuse is fuse { 100 A, 80 V dc, breaks 20 kA at 80 V dc, curve iso8820-5 }\n"
        "pack B1 is bank\npack B2 is bank\nfuse F1 is bank-fuse\nfuse F2 is bank-fuse\nsplice X1\n"
        "route B1.+ (W1 16 mm2, 0.1 m) F1 (W9 16 mm2, 1 m) F2.out>in (W2 16 mm2, 0.1 m) B2.+\n"
        "route B1.- (W3 16 mm2, 0.5 m) X1\nroute B2.- (W4 16 mm2, 0.5 m) X1\nmode rest { others at rest }\n";
    const Results results = check_text(text);
    CHECK(found(results, Severity::error).empty());
}

TEST_CASE("a diode that blocks keeps the unfused feed of another pack off a wire, one that passes does not") {
    const auto unprotected = [](const char* first_diode) {
        const Results results = testing::check_text(
            "loom 1\nharness \"either pack\" { ambient 10..30 degC, insulation pvc 90 degC }\n"
            "part bank is pack { voltage 21..28 V, resistance 8 mohm, capacity 40 Ah, discharge 100 A, "
            "charge 20 A }\n"
            "pack B1 is bank\npack B2 is bank\n"
            "fuse F1 { 60 A, 80 V dc, breaks 10 kA at 80 V dc, curve iso8820-5 }\n"
            "diode V1 { 60 A, 100 V, drop 0.6 V }\ndiode V2 { 60 A, 100 V, drop 0.6 V }\nstud X1\n"
            "load E1 { 24 V, 20 A }\n"
            "route B1.+ (W1 16 mm2, 0.1 m) F1 (W2 16 mm2, 0.5 m) " +
            std::string(first_diode) +
            " (W3 16 mm2, 0.1 m) X1\n"
            "route B2.+ (W4 16 mm2, 1.5 m) V2 (W5 16 mm2, 0.1 m) X1\n"
            "route X1 (W6 16 mm2, 0.1 m) E1 (W7 16 mm2, 0.1 m) B1.-\nroute B2.- (W8 16 mm2, 0.1 m) E1.-\n"
            "mode on { others at rest }\n");
        std::vector<std::string> wires;
        for (const Finding& finding : results.findings)
            if (finding.rule == "unprotected-wire") wires.push_back(finding.subject);
        return wires;
    };
    // W3 can be reached from B2 up to the diode, W2 behind it cannot.
    CHECK(unprotected("V1") == std::vector<std::string>{"W3", "W4", "W5", "W6"});
    CHECK(unprotected("V1.K>A") == std::vector<std::string>{"W2", "W3", "W4", "W5", "W6"});
}
