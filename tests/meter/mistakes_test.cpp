// Mistakes in the wiring of a machine, one at a time, and the step of the sheet at which each is caught:
// before the first step at which it would do harm.
#include <fmt/format.h>

#include <functional>

#include "tests/meter/simulated.hpp"
#include "tests/meter/tables_page.hpp"

namespace mistakes_test {

namespace {

using namespace loomward;
using namespace loomward::testing;

// What somebody did: to the wiring, to a part, or with what lies in a holder.
struct Deed {
    Harness& harness;
    std::vector<std::string> open, welded;
    std::vector<std::pair<std::string, double>> ohms;     // of wires and parts
    std::vector<std::pair<std::string, double>> fuses_A;  // the print on them
    std::optional<double> pack_share;                     // it stands there, beyond 0 and 1: another pack
    double output_factor = 1;

    TerminalId terminal(const std::string& path) {
        const auto found = harness.find_terminal(path);
        REQUIRE(found);
        return *found;
    }
    Wire& wire(const std::string& name) {
        const auto found = harness.find_wire(name);
        REQUIRE(found);
        return harness.wires[found->index()];
    }
    void move(const std::string& name, const std::string& from, const std::string& to) {
        Wire& moved = wire(name);
        const TerminalId old = terminal(from);
        REQUIRE((moved.from == old || moved.to == old));
        (moved.from == old ? moved.from : moved.to) = terminal(to);
    }
    void cross(const std::string& one, const std::string& at_one, const std::string& other,
               const std::string& at_other) {
        move(one, at_one, at_other);
        move(other, at_other, at_one);
    }
    void touch(const std::string& a, const std::string& b) {
        Wire chafed = harness.wires.front();
        chafed.name = "~chafed";
        chafed.from = terminal(a);
        chafed.to = terminal(b);
        harness.wires.push_back(chafed);
    }
};

struct Mistake {
    const char* what;
    const char* example;
    std::function<void(Deed&)> make;
};

const std::vector<Mistake> mistakes = {
    {"pack leads exchanged", "market-cart", [](Deed& d) { d.cross("W1", "B1.+", "W6", "B1.-"); }},
    {"head lamp crossed", "market-cart", [](Deed& d) { d.cross("W44", "E1.+", "W45", "E1.-"); }},
    {"converter input crossed", "market-cart", [](Deed& d) { d.cross("W36", "D1.in+", "W37", "D1.in-"); }},
    {"converter output crossed", "market-cart", [](Deed& d) { d.cross("W38", "D1.out+", "W39", "D1.out-"); }},
    {"drive plug reversed", "market-cart", [](Deed& d) { d.cross("W5", "P1.1", "W9", "P1.2"); }},
    {"key line exchanged in its plug", "market-cart", [](Deed& d) { d.cross("W17", "J3.1", "W21", "J3.2"); }},
    {"driver pins exchanged", "market-cart", [](Deed& d) { d.cross("W28", "U1.main", "W30", "U1.pre"); }},
    {"coil leads exchanged", "market-cart", [](Deed& d) { d.cross("W27", "K1.A2", "W29", "K2.A2"); }},
    {"grip supply crossed", "market-cart", [](Deed& d) { d.cross("C1.red", "A1.5v", "C1.black", "A1.gnd"); }},
    {"48 V on the grip's contact", "market-cart",
     [](Deed& d) { d.cross("W17", "J3.1", "C2.white", "J3.5"); }},
    {"charge plug reversed", "market-cart", [](Deed& d) { d.cross("W58", "P2.1", "W60", "P2.2"); }},
    {"phase leads exchanged", "market-cart", [](Deed& d) { d.cross("W14", "M1.U", "W15", "M1.V"); }},
    {"minus lead open", "market-cart", [](Deed& d) { d.open = {"W7"}; }},
    {"coil feed open", "market-cart", [](Deed& d) { d.open = {"W22"}; }},
    {"converter minus open", "market-cart", [](Deed& d) { d.open = {"W37"}; }},
    {"grip signal open", "market-cart", [](Deed& d) { d.open = {"C2.white"}; }},
    {"drive plus chafed on minus", "market-cart", [](Deed& d) { d.touch("K1.out", "X2.2"); }},
    {"plus behind the isolator on minus", "market-cart", [](Deed& d) { d.touch("X1.1", "X2.1"); }},
    {"12 V on its minus", "market-cart", [](Deed& d) { d.touch("X7.1", "X6.1"); }},
    {"48 V key line on the 12 V line", "market-cart", [](Deed& d) { d.touch("P3.2", "P3.7"); }},
    {"12 V line on the grip supply", "market-cart", [](Deed& d) { d.touch("P3.7", "P3.3"); }},
    {"main fuse of 160 A", "market-cart",
     [](Deed& d) {
         d.fuses_A = {{"F1", 160}};
     }},
    {"fuses F2 and F9 exchanged", "market-cart",
     [](Deed& d) {
         d.fuses_A = {{"F2", 20}, {"F9", 2}};
     }},
    {"main contactor welded", "market-cart", [](Deed& d) { d.welded = {"K1"}; }},
    {"emergency stop bridged", "market-cart", [](Deed& d) { d.welded = {"S2"}; }},
    {"isolator bridged", "market-cart", [](Deed& d) { d.welded = {"S6"}; }},
    {"precharge resistor of 1 ohm", "market-cart",
     [](Deed& d) {
         d.ohms = {{"R1", 1}};
     }},
    {"precharge resistor open", "market-cart",
     [](Deed& d) {
         d.ohms = {{"R1", 1e9}};
     }},
    {"coil shorted", "market-cart",
     [](Deed& d) {
         d.ohms = {{"K1", 0.5}};
     }},
    {"pack of one cell more", "market-cart", [](Deed& d) { d.pack_share = 1.25; }},
    {"converter set to 24 V", "market-cart", [](Deed& d) { d.output_factor = 24 / 12.6; }},
    {"crane: bond to the frame missing", "yard-crane-96v", [](Deed& d) { d.open = {"W48"}; }},
};

struct Caught {
    std::size_t step = 0;  // 0: never
    std::size_t harm = 0;  // the first live step that harms; 0: none
    std::string reads;
};

// Whether the machine as it stands at a step does harm: a current that nothing asks for, a voltage the wrong
// way round or above what a part takes, a drive that has its voltage though nobody closed its contactor.
bool harms(const BenchMachine::Live& is, const BenchMachine::Live& should, const Circuit& circuit,
           const Facts& facts) {
    if (!is.solved) return true;
    for (std::size_t i = 0; i < circuit.edges.size() && i < is.edge_A.size(); ++i) {
        const Edge& edge = circuit.edges[i];
        if (edge.role == EdgeRole::emf && std::abs(is.edge_A[i]) > 10 + 3 * std::abs(should.edge_A[i]))
            return true;
        if (!row(edge.role).polarised || edge.role == EdgeRole::emf || edge.role == EdgeRole::charger ||
            edge.role == EdgeRole::converter_output)
            continue;
        const double volts = is.node_V[edge.from.index()] - is.node_V[edge.to.index()];
        const double wanted = should.node_V[edge.from.index()] - should.node_V[edge.to.index()];
        if (volts < -1 && wanted > -0.5) return true;
        if (volts > 1.3 * std::max(wanted, 1.0) && volts > 6 && wanted > 1) return true;
        if (edge.role == EdgeRole::controller && wanted < 1 && volts > 6) return true;
    }
    (void)facts;
    return false;
}

Caught follow(const Mistake& mistake, std::uint32_t seed) {
    const Results& results = checked_example(mistake.example);
    static std::map<std::string, PowerUpSheet> sheets;
    if (!sheets.contains(mistake.example)) sheets.emplace(mistake.example, power_up_sheet(results));
    const PowerUpSheet& sheet = sheets.at(mistake.example);
    Harness wired = *results.circuit.harness;
    Deed deed{wired, {}, {}, {}, {}, {}, 1};
    mistake.make(deed);
    const Facts facts(*results.circuit.harness);
    const ExpectedReadings expected(results.circuit, facts, 15, 25);
    SimulatedMachine machine(wired, seed), right(*results.circuit.harness, seed);
    for (const std::string& wire : deed.open) machine.ohm(machine.edge_of_wire(wire)) = 1e9;
    for (const auto& [part, ohm] : deed.ohms)
        for (std::size_t i = 0; i < machine.circuit().edges.size(); ++i) {
            const Edge& edge = machine.circuit().edges[i];
            if (edge.part == wired.find_part(part) &&
                (edge.role == EdgeRole::resistor || edge.role == EdgeRole::coil))
                machine.ohm(EdgeId(i)) = ohm;
        }
    for (const std::string& part : deed.welded) machine.weld(part);
    machine.set_output_factor(deed.output_factor);
    HandMeter meter{std::mt19937(seed), 0.004};
    double share = 0.6;
    if (deed.pack_share) share = *deed.pack_share;
    // What the person takes U0 to be.
    const double least_share = deed.pack_share ? 0 : share - 0.02,
                 most_share = deed.pack_share ? 1 : share + 0.02;
    Caught caught;
    for (const BenchStep* step : sheet.steps()) {
        if (step->live && !caught.harm && step->meter != MeterKind::millivolts &&
            harms(machine.live(sheet.states[step->state], share), right.live(sheet.states[step->state], 0.6),
                  results.circuit, facts))
            caught.harm = step->number;
        if (caught.step) continue;
        if (step->meter == MeterKind::look) {
            for (const auto& [fuse, amps] : deed.fuses_A)
                if (step->across && results.circuit.edge(step->across).part == wired.find_part(fuse) &&
                    step->expect.rfind(to_text(amps, Dimension::current), 0) != 0) {
                    caught.step = step->number;
                    caught.reads = fmt::format("{} printed on {}", to_text(amps, Dimension::current), fuse);
                }
            continue;
        }
        if (step->meter == MeterKind::millivolts) continue;
        const double value = meter.show(step->meter, machine.true_value(sheet, *step, share));
        if (as_expected(step->meter, expected.of(sheet, *step, least_share, most_share), value)) continue;
        caught.step = step->number;
        caught.reads = fmt::format("{} to {} reads {:.3g}{}", step->red, step->black, value,
                                   step->live ? ", pack on" : "");
    }
    return caught;
}

}  // namespace

TEST_CASE("each of 30 mistakes in the wiring is caught before the step at which it would do harm") {
    std::size_t tried = 0;
    std::string table;
    for (const Mistake& mistake : mistakes) {
        INFO(mistake.what);
        const Caught caught = follow(mistake, static_cast<std::uint32_t>(++tried));
        table += fmt::format("{:<34} step {:>3}: {:<38} {}\n", mistake.what, caught.step, caught.reads,
                             caught.harm ? fmt::format("step {}", caught.harm) : std::string("none"));
        CHECK(caught.step > 0);
        if (caught.harm > 0) CHECK(caught.step < caught.harm);
    }
    CHECK(tried >= 30);
    holds_block(1, table);
}

}  // namespace mistakes_test
