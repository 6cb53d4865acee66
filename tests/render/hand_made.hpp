// A small harness with results made by hand, so that texts can be tested without a check.
#pragma once
#include <memory>
#include <string>

#include "checker/results.hpp"

namespace loomward::hand_made {

inline constexpr const char* yard_text =
    "loom 1\n"
    "harness \"Yard lift\" { ambient -10..45 degC }\n"
    "fuse F3 { 40 A, 80 V dc }\n"
    "route F3.out (W7 1.5 mm2, 0.6 m, red) H1\n"
    "accept floating on F3 because \"spare way\"\n"
    "mode lift { others at rest }\n";

inline Span span_of(const Sources& sources, std::string_view words) {
    const std::string_view text = sources.files[0].text;
    const auto begin = static_cast<std::uint32_t>(text.find(words));
    return {FileId(0), begin, begin + static_cast<std::uint32_t>(words.size())};
}

// One fuse, one wire, one load, one mode, one acceptance; no findings yet.
inline Results results() {
    auto sources = std::make_shared<Sources>();
    sources->add("yard.loom", yard_text);
    auto harness = std::make_shared<Harness>();
    harness->title = "Yard lift";
    Part fuse;
    fuse.kind = Kind::fuse;
    fuse.name = "F3";
    fuse.where = span_of(*sources, "F3");
    Part load = fuse;
    load.kind = Kind::load;
    load.name = "H1";
    harness->parts = {fuse, load};
    Terminal from, to;
    from.part = PartId(0);
    from.path = "F3.out";
    to.part = PartId(1);
    to.path = "H1.+";
    harness->terminals = {from, to};
    Wire wire;
    wire.name = "W7";
    wire.where = span_of(*sources, "W7");
    wire.from = TerminalId(0);
    wire.to = TerminalId(1);
    harness->wires = {wire};
    Mode mode;
    mode.name = "lift";
    mode.where = span_of(*sources, "lift");
    mode.states.resize(2);
    harness->modes = {mode};
    Acceptance acceptance;
    acceptance.rule = "floating";
    acceptance.reason = "spare way";
    acceptance.where = span_of(*sources, "accept floating");
    harness->acceptances = {acceptance};
    harness->sources = sources;

    Results results;
    results.harness = harness;
    OperatingPoint point;
    point.mode = ModeId(0);
    point.status = SolveStatus::solved;
    point.node_V = {0.0};
    results.points = {point};
    return results;
}

inline const Sources& sources_of(const Results& results) {
    return *results.harness->sources;
}

// Everything a finding can carry.
inline Finding full_finding(const Results& results) {
    const Sources& sources = sources_of(results);
    Finding finding;
    finding.rule = "oversized-fuse";
    finding.severity = Severity::error;
    finding.where = span_of(sources, "W7");
    finding.subject = "W7";
    finding.wire = WireId(0);
    finding.message = "wire W7 is guarded by too large a fuse";
    finding.beside = "may carry 16 A here; F3 lets 40 A pass for good";
    for (const char* name : {"B1.+", "W1", "F3", "W7"}) finding.witness.push_back({name, {}});
    finding.working = {"1.35 x 40 A = 54 A", "1.45 x 16 A = 23.2 A"};
    finding.figures = {{"fuse", 40, Dimension::current}, {"limit", 16, Dimension::current}};
    finding.source = "IEC 60364-4-43, 433.1";
    finding.corner = Corner::run_hot;
    finding.mode = ModeId(0);
    finding.help = "a fuse of 15 A or less would guard W7";
    finding.related = {{span_of(sources, "F3"), "fuse F3 is rated 40 A here"}};
    return finding;
}

}  // namespace loomward::hand_made
