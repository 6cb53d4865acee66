#include "checker/papers/shorts.hpp"

namespace loomward {
namespace {

// How well a place fits a wire: the lower the better.
enum class Fit : std::uint8_t { own_end, own_insulation, own_terminal, none };

Fit fit_of(const FaultPlace& place, const Wire& wire, WireId id) {
    const bool end = place.kind == FaultPlace::Kind::to_return || place.kind == FaultPlace::Kind::to_frame;
    if (end && place.wire == id) return Fit::own_end;
    if (place.wire == id || place.neighbour == id) return Fit::own_insulation;
    const auto is_end = [&](TerminalId terminal) { return terminal == wire.from || terminal == wire.to; };
    return is_end(place.at) || is_end(place.against) ? Fit::own_terminal : Fit::none;
}

WireShort::End end_of(const Circuit& circuit, const FaultSurvey& survey, const FaultOutcome& outcome) {
    WireShort::End end;
    end.prospective_A = outcome.prospective_A;
    end.place = survey.places[outcome.place];
    if (outcome.first) {
        end.first = circuit.edge(outcome.first).part;
        end.first_s = outcome.first_s;
    }
    end.standing_A = outcome.standing_A;
    end.ends_s = outcome.ends_s;
    return end;
}

// The best fitting short of a wire so far, most and least.
class Gathered {
  public:
    void take(const Circuit& circuit, const FaultSurvey& survey, const FaultOutcome& outcome, Fit fit) {
        if (fit > fit_) return;
        if (fit < fit_) short_ = {};
        fit_ = fit;
        const bool most = outcome.corner == Corner::fault_max;
        std::optional<WireShort::End>& end = most ? short_.most : short_.least;
        if (!end ||
            (most ? outcome.prospective_A > end->prospective_A : outcome.prospective_A < end->prospective_A))
            end = end_of(circuit, survey, outcome);
    }
    const WireShort& result() const { return short_; }

  private:
    Fit fit_ = Fit::none;
    WireShort short_;
};

// Wires that a place may be told of: those that it names and those that land where it is.
std::vector<std::vector<WireId>> wires_at_terminals(const Harness& harness) {
    std::vector<std::vector<WireId>> landing(harness.terminals.size());
    for (std::size_t i = 0; i < harness.wires.size(); ++i) {
        landing[harness.wires[i].from.index()].push_back(WireId(i));
        if (harness.wires[i].to != harness.wires[i].from)
            landing[harness.wires[i].to.index()].push_back(WireId(i));
    }
    return landing;
}

std::vector<WireId> wires_of(const FaultPlace& place, const std::vector<std::vector<WireId>>& landing) {
    std::vector<WireId> wires;
    if (place.wire) wires.push_back(place.wire);
    if (place.neighbour) wires.push_back(place.neighbour);
    for (const TerminalId terminal : {place.at, place.against})
        if (terminal)
            wires.insert(wires.end(), landing[terminal.index()].begin(), landing[terminal.index()].end());
    return wires;
}

}  // namespace

std::vector<WireShorts> wire_shorts(const Circuit& circuit, const FaultSurvey& survey) {
    const Harness& harness = *circuit.harness;
    const std::vector<std::vector<WireId>> landing = wires_at_terminals(harness);
    std::vector<Gathered> gathered(harness.wires.size());
    for (const FaultOutcome& outcome : survey.outcomes) {
        const FaultPlace& place = survey.places[outcome.place];
        for (const WireId wire : wires_of(place, landing))
            if (const Fit fit = fit_of(place, harness.wire(wire), wire); fit != Fit::none)
                gathered[wire.index()].take(circuit, survey, outcome, fit);
    }
    std::vector<WireShorts> shorts(harness.wires.size());
    for (std::size_t i = 0; i < shorts.size(); ++i) {
        shorts[i].at_end = gathered[i].result();
        const FaultSurvey::WireWorst& worst = survey.wires[i];
        if (worst.outcome == FaultSurvey::none || worst.heat_over_limit <= 0) continue;
        const FaultOutcome& outcome = survey.outcomes[worst.outcome];
        shorts[i].hottest = HottestShort{worst.heat_over_limit, survey.places[outcome.place], outcome.corner};
    }
    return shorts;
}

}  // namespace loomward
