#include "checker/bench/run_places.hpp"

#include <fmt/format.h>

#include <cmath>

namespace loomward {

RunPlaces::RunPlaces(const Results& results, RunLog& log) : results_(results), log_(log) {
    for (const LogColumn& column : log_.columns) places_.push_back(place_of(column));
}

bool RunPlaces::take_mode(ModeId mode) {
    mode_ = mode;
    for (const Course& course : usable_courses(results_.points))
        if (course.mode == mode) courses_.push_back(course);
    return !courses_.empty();
}

void RunPlaces::say(const LogColumn& column, std::string message) {
    log_.mistakes.push_back({"unknown-name", column.where, std::move(message), {}, {}, {}});
}

// The edge of a wire, or the first that a part has.
EdgeId RunPlaces::edge_of(const std::string& name) const {
    if (const auto wire = harness().find_wire(name)) return circuit().edge_of_wire[wire->index()];
    const auto part = harness().find_part(name);
    if (!part || circuit().edges_of_part[part->index()].empty()) return {};
    return circuit().edges_of_part[part->index()].front();
}

LogPlace RunPlaces::place_of(const LogColumn& column) {
    LogPlace place;
    if (column.quantity == LogQuantity::time) return place;
    if (column.second.empty()) {
        place.edge = edge_of(column.first);
        if (!place.edge) {
            say(column,
                fmt::format("there is no wire or part '{}' that a current flows through", column.first));
            return place;
        }
        place.red_terminal = circuit().edge(place.edge).from_terminal;
        place.black_terminal = circuit().edge(place.edge).to_terminal;
    } else {
        const auto red = harness().find_terminal(column.first);
        const auto black = harness().find_terminal(column.second);
        if (!red || !black) {
            say(column, fmt::format("there is no terminal '{}'", red ? column.second : column.first));
            return place;
        }
        place.red_terminal = *red;
        place.black_terminal = *black;
    }
    place.red = circuit().node(place.red_terminal);
    place.black = circuit().node(place.black_terminal);
    return place;
}

std::string RunPlaces::name_of(std::size_t column) const {
    const LogColumn& named = log_.columns[column];
    return named.second.empty() ? named.first : named.first + " to " + named.second;
}

std::vector<std::size_t> RunPlaces::columns_of(LogQuantity quantity) const {
    std::vector<std::size_t> found;
    for (std::size_t i = 0; i < log_.columns.size(); ++i)
        if (log_.columns[i].quantity == quantity) found.push_back(i);
    return found;
}

const OperatingPoint* RunPlaces::worst_point(EdgeId edge) const {
    Peak peak;
    for (const Course& course : courses_)
        if (const Peak other = peak_of(course, edge); other.current_A > peak.current_A) peak = other;
    return peak.point;
}

std::optional<std::size_t> RunPlaces::amps_through(EdgeId edge) const {
    for (const std::size_t amps : columns_of(LogQuantity::amps)) {
        if (places_[amps].edge == edge) return amps;
        const OperatingPoint* point = worst_point(places_[amps].edge);
        if (!point) continue;
        const double share =
            std::abs(point->edge_A[edge.index()]) / std::abs(point->edge_A[places_[amps].edge.index()]);
        if (std::abs(share - 1) <= same_current) return amps;
    }
    return std::nullopt;
}

}  // namespace loomward
