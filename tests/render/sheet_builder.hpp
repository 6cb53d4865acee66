// Makes harnesses with results by hand, for drawing: parts by kind, wires by the paths of their ends.
#pragma once
#include <deque>
#include <map>
#include <memory>
#include <stdexcept>
#include <string>
#include <vector>

#include "checker/results.hpp"

namespace loomward::by_hand {

using namespace loomward::literals;

// `guards` by name; direction as in WireLoading.
struct Carries {
    std::vector<std::string> guards;
    double loading = 0.4;
    int direction = 1;
    bool unguarded = false;
    bool electronic = false;
};

class Maker {
  public:
    explicit Maker(std::string title) { harness_->title = keep(std::move(title)); }

    // One nameless or named quantity of a part: {"(rated-current)"_attr, 100, Dimension::current}.
    struct Rating {
        Attr name;
        double value;
        Dimension dimension;
    };

    Maker& part(Kind kind, std::string name, std::vector<std::string> terminals, std::string label = {},
                std::vector<Rating> ratings = {}) {
        const PartId id(harness_->parts.size());
        Part part;
        part.kind = kind;
        part.name = keep(std::move(name));
        part.label = keep(std::move(label));
        part.terminals.first = static_cast<std::uint32_t>(harness_->terminals.size());
        part.terminals.count = static_cast<std::uint32_t>(terminals.size());
        part.attributes.first = static_cast<std::uint32_t>(harness_->attribute_store.size());
        part.attributes.count = static_cast<std::uint32_t>(ratings.size());
        for (const Rating& rating : ratings) {
            harness_->attribute_store.push_back(
                {rating.name, {}, static_cast<std::uint32_t>(harness_->value_store.size()), 1});
            Value value;
            value.type = ValueType::quantity;
            value.dimension = rating.dimension;
            value.lo = value.hi = rating.value;
            harness_->value_store.push_back(value);
        }
        for (std::string& each : terminals) {
            Terminal terminal;
            terminal.part = id;
            const bool whole = each.find('/') == 0;  // "/P1.1": the path of a mate's contact
            terminal.path = whole          ? keep(each.substr(1))
                            : each.empty() ? part.name
                                           : keep(std::string(part.name) + "." + each);
            terminal.name = whole ? terminal.path.substr(terminal.path.rfind('.') + 1) : keep(each);
            terminal.table_name = terminal.name;
            set_role(terminal);
            terminal.mate_half = whole;
            at_.emplace(std::string(terminal.path), TerminalId(harness_->terminals.size()));
            harness_->terminals.push_back(terminal);
        }
        by_name_.emplace(std::string(part.name), id);
        harness_->parts.push_back(part);
        return *this;
    }
    Maker& two_ended(Kind kind, std::string name, std::string label = {}, std::vector<Rating> ratings = {}) {
        return part(kind, std::move(name), {"in", "out"}, std::move(label), std::move(ratings));
    }
    Maker& load(std::string name, std::string label = {}, std::vector<Rating> ratings = {}) {
        return part(Kind::load, std::move(name), {"+", "-"}, std::move(label), std::move(ratings));
    }
    Maker& connector(const std::string& name, const std::string& mate, int contacts,
                     std::vector<Rating> ratings = {}) {
        std::vector<std::string> terminals;
        for (int i = 1; i <= contacts; ++i) terminals.push_back(std::to_string(i));
        for (int i = 1; i <= contacts; ++i) terminals.push_back("/" + mate + "." + std::to_string(i));
        return part(Kind::connector, name, terminals, {}, std::move(ratings));
    }
    Maker& wire(std::string name, const std::string& from, const std::string& to, double area_mm2,
                double length_m, Colour colour, Carries load = {}) {
        Wire wire;
        wire.name = keep(std::move(name));
        wire.from = at(from);
        wire.to = at(to);
        wire.area = {area_mm2, area_mm2, Dimension::area, Knowledge::stated};
        wire.length = {length_m, length_m, Dimension::length, Knowledge::stated};
        wire.colour = colour;
        WireLoading loading;
        loading.limit_A = load.loading > 0 ? 100 : 0;
        loading.current_A = load.loading * 100;
        loading.direction = load.direction;
        WireGuards guards{{}, load.unguarded, load.electronic};
        for (const std::string& guard : load.guards) guards.devices.push_back(by_name_.at(guard));
        harness_->wires.push_back(wire);
        loadings_.push_back(loading);
        guards_.push_back(std::move(guards));
        return *this;
    }
    Maker& bundle(std::string name, const std::vector<std::string>& wires) {
        const BundleId id(harness_->bundles.size());
        Bundle bundle;
        bundle.name = keep(std::move(name));
        for (const std::string& each : wires)
            for (std::size_t i = 0; i < harness_->wires.size(); ++i)
                if (harness_->wires[i].name == each) {
                    bundle.wires.push_back(WireId(i));
                    harness_->wires[i].bundles[0] = id;
                }
        harness_->bundles.push_back(bundle);
        return *this;
    }
    Maker& joint(const std::string& a, const std::string& b) {
        harness_->joints.push_back({at(a), at(b), {}});
        return *this;
    }
    Maker& tie(const std::string& a, const std::string& b) {
        harness_->ties.push_back({at(a), at(b)});
        return *this;
    }
    // About a wire or a part, whichever has that name.
    Maker& finding(std::string rule, Severity severity, const std::string& subject) {
        Finding finding;
        finding.rule = std::move(rule);
        finding.severity = severity;
        finding.subject = subject;
        for (std::size_t i = 0; i < harness_->wires.size(); ++i)
            if (harness_->wires[i].name == subject) finding.wire = WireId(i);
        if (const auto part = by_name_.find(subject); part != by_name_.end()) finding.part = part->second;
        findings_.push_back(finding);
        return *this;
    }
    Results results() const {
        Results results;
        results.harness = harness_;
        results.wires = loadings_;
        results.guards = guards_;
        results.findings = findings_;
        return results;
    }
    TerminalId at(const std::string& path) const {
        const auto found = at_.find(path);
        if (found == at_.end()) throw std::out_of_range("no terminal " + path);
        return found->second;
    }

  private:
    // "out", "2.com": as the tables of kinds name their terminals.
    static void set_role(Terminal& terminal) {
        std::string_view word = terminal.name;
        if (const std::size_t dot = word.find('.'); dot == 1 && word[0] >= '1' && word[0] <= '9') {
            terminal.number = static_cast<std::uint16_t>(word[0] - '0');
            word.remove_prefix(2);
        }
        for (int role = 1; role <= static_cast<int>(TerminalRole::out_minus); ++role)
            if (terminal_word(static_cast<TerminalRole>(role)) == word)
                terminal.role = static_cast<TerminalRole>(role);
    }
    std::string_view keep(std::string text) { return harness_->strings->emplace_back(std::move(text)); }
    std::shared_ptr<Harness> harness_ = std::make_shared<Harness>();
    std::vector<WireLoading> loadings_;
    std::vector<WireGuards> guards_;
    std::vector<Finding> findings_;
    std::map<std::string, TerminalId> at_;
    std::map<std::string, PartId> by_name_;
};

inline Maker::Rating amps(Attr name, double value) {
    return {name, value, Dimension::current};
}

// An orchard sledge: pack, battery manager, precharge loop, drive, converter with lamps, charger lead.
inline Maker orchard_sledge() {
    Maker make("Orchard sledge");
    const auto rated = "(rated-current)"_attr;
    make.part(Kind::pack, "B1", {"+", "-"}, "under the bench",
              {{"voltage"_attr, 48, Dimension::voltage}, {"capacity"_attr, 40, Dimension::charge}});
    make.two_ended(Kind::fuse, "F1", "main fuse", {amps(rated, 100)});
    make.part(Kind::contactor, "K1", {"in", "out", "A1", "A2"}, "", {amps("carries"_attr, 120)});
    make.two_ended(Kind::resistor, "R1", "", {{"(resistance)"_attr, 47, Dimension::resistance}});
    make.two_ended(Kind::switch_, "S1", "precharge");
    make.part(Kind::bms, "Q1", {"B-", "P-"}, "", {amps("discharge"_attr, 90)});
    make.connector("J1", "P1", 2, {amps("carries"_attr, 120)});
    make.part(Kind::controller, "U1", {"+", "-", "U", "V", "W", "key", "gnd", "main"}, "drive");
    make.part(Kind::motor, "M1", {"U", "V", "W"}, "", {amps("carries"_attr, 90)});
    make.two_ended(Kind::fuse, "F2", "key and coil", {amps(rated, 5)});
    make.two_ended(Kind::switch_, "S2", "key");
    make.part(Kind::converter, "D1", {"in+", "in-", "out+", "out-"});
    make.part(Kind::fuse_block, "X3", {"in"}, "12 V");
    make.two_ended(Kind::fuse, "F4", "lamps", {amps(rated, 5)});
    make.two_ended(Kind::fuse, "F5", "horn", {amps(rated, 10)});
    make.part(Kind::busbar, "X4", {"1", "2", "3", "4", "5"}, "12 V return");
    for (const char* name : {"H1", "H2", "H3", "L4"})
        make.load(name, "", {{"(power)"_attr, 20, Dimension::power}});
    make.two_ended(Kind::switch_, "S3", "lamps");
    make.part(Kind::charger, "G1", {"+", "-"}, "bench charger");
    make.two_ended(Kind::fuse, "F6", "charge lead", {amps(rated, 15)});
    make.part(Kind::frame, "X9", {""});
    make.part(Kind::device, "A7", {"1", "2"}, "spare, not wired");

    Carries bare{{}, 0.45, 1, true, false}, main{{"F1"}, 0.45}, key{{"F2"}, 0.2}, back{{"F1"}, 0.45, -1};
    make.wire("W1", "B1.+", "F1.in", 16, 0.15, Colour::red, bare);
    make.wire("W2", "F1.out", "K1.in", 16, 0.1, Colour::red, main);
    make.wire("W3", "K1.out", "J1.1", 16, 0.8, Colour::red, main);
    make.wire("W4", "P1.1", "U1.+", 16, 0.2, Colour::red, main);
    make.wire("W5", "B1.-", "Q1.B-", 16, 0.15, Colour::black, {{}, 0.45, -1, true, false});
    make.wire("W6", "Q1.P-", "J1.2", 16, 0.8, Colour::black, back);
    make.wire("W7", "P1.2", "U1.-", 16, 0.2, Colour::black, back);
    make.wire("W10", "F1.out", "S1.in", 1, 0.3, Colour::red, {{"F1"}, 0.05});
    make.wire("W11", "S1.out", "R1.in", 1, 0.1, Colour::red, {{"F1"}, 0.05});
    make.wire("W12", "R1.out", "K1.out", 1, 0.2, Colour::red, {{"F1"}, 0.05});
    const char* phases[] = {"U", "V", "W"};
    const Colour colours[] = {Colour::yellow, Colour::green, Colour::blue};
    for (int i = 0; i < 3; ++i)
        make.wire("W" + std::to_string(13 + i), std::string("U1.") + phases[i],
                  std::string("M1.") + phases[i], 10, 0.6, colours[i], {{"F1"}, 1.12, 0});
    make.wire("W20", "F1.out", "F2.in", 2.5, 0.1, Colour::red, {{"F1"}, 0.15});
    make.wire("W21", "F2.out", "S2.in", 1.5, 0.9, Colour::orange, key);
    make.wire("W22", "S2.out", "K1.A1", 0.75, 1.1, Colour::orange, key);
    make.wire("W23", "K1.A2", "U1.main", 0.75, 1.1, Colour::blue, key);
    make.wire("W24", "S2.out", "U1.key", 0.75, 1.3, Colour::orange, key);
    make.wire("W25", "S2.out", "D1.in+", 1.5, 0.3, Colour::orange, key);
    make.wire("W26", "Q1.P-", "D1.in-", 1.5, 1.2, Colour::black, {{"F2"}, 0.2, -1});
    const Carries limited{{"D1"}, 0.35, 1, false, true};
    make.wire("W30", "D1.out+", "X3.in", 2.5, 0.4, Colour::white, limited);
    make.wire("W31", "D1.out-", "X4.1", 2.5, 0.4, Colour::black, {{"D1"}, 0.35, -1, false, true});
    make.wire("W32", "F4.out", "S3.in", 1, 1.5, Colour::yellow, {{"F4"}, 0.3});
    for (int i = 1; i <= 3; ++i) {
        const std::string n = std::to_string(i);
        make.wire("W4" + n, "S3.out", "H" + n + ".+", 1, 1.0 + i, Colour::yellow, {{"F4"}, 0.2});
        make.wire("W5" + n, "H" + n + ".-", "X4." + std::to_string(i + 1), 1, 1.0 + i, Colour::black,
                  {{"F4"}, 0.2});
    }
    make.wire("W44", "F5.out", "L4.+", 1, 0.9, Colour::violet, {{"F5"}, 0.4});
    make.wire("W54", "L4.-", "X4.5", 1, 1.2, Colour::black, {{"F5"}, 0.4});
    make.wire("W60", "B1.+", "F6.in", 2.5, 0.1, Colour::red, {{}, 0.3, -1, true, false});
    make.wire("W61", "F6.out", "G1.+", 2.5, 0.7, Colour::red, {{"F6"}, 0.3, -1});
    make.wire("W62", "Q1.P-", "G1.-", 2.5, 0.7, Colour::black, {{"F6"}, 0.3});
    make.wire("W63", "X4.5", "X9", 2.5, 0.3, Colour::green, {{}, 0, 0});
    make.tie("F4.in", "X3.in").tie("F5.in", "X3.in");
    make.bundle("L1", {"W3", "W6", "W21", "W22", "W23"});
    make.finding("unprotected-wire", Severity::error, "W1");
    make.finding("overloaded-wire", Severity::error, "W13");
    make.finding("oversized-fuse", Severity::warning, "W10");
    make.finding("floating", Severity::note, "A7");
    make.finding("coil-voltage", Severity::warning, "K1");
    return make;
}

}  // namespace loomward::by_hand
