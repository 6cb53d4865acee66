#include "checker/heat/boxes.hpp"

#include <algorithm>
#include <optional>

#include "checker/heat/box_course.hpp"
#include "checker/heat/box_way.hpp"
#include "checker/heat/enclosure.hpp"
#include "checker/heat/wire_loss.hpp"
#include "checker/parts/printed_figures.hpp"

namespace loomward {

namespace {

// Everything that lies in each location, by LocationId.
struct Contents {
    std::vector<PartId> parts;
    std::vector<WireId> wires;
};
std::vector<Contents> contents_of(const Harness& harness) {
    std::vector<Contents> contents(harness.locations.size());
    for (std::size_t i = 0; i < harness.parts.size(); ++i)
        if (const LocationId id = harness.parts[i].location; id) contents[id.index()].parts.emplace_back(i);
    for (std::size_t i = 0; i < harness.wires.size(); ++i) {
        LocationId known;
        for (const BundleId id : harness.wires[i].bundles) {
            if (!id) continue;
            const LocationId location = harness.bundles[id.index()].location;
            if (!location || location == known) continue;
            contents[location.index()].wires.emplace_back(i);
            known = location;
        }
    }
    return contents;
}

// The losses of a location over one course: each source at each point, and what of it counts.
void take_losses(const Circuit& circuit, const Facts& facts, const Course& course, const BoxWay& way,
                 const Contents& in, WarmBox& box) {
    std::vector<std::vector<HeatSource>> sources;  // of parts, by point
    std::vector<std::vector<double>> wires_W;
    std::vector<double> total_W;
    for (const OperatingPoint& point : course.points) {
        double sum_W = 0;
        std::vector<HeatSource>& now = sources.emplace_back();
        for (const PartId part : in.parts) {
            now.push_back(loss_at(circuit, facts, point, part));
            sum_W += now.back().loss_W;
        }
        std::vector<double>& wires = wires_W.emplace_back();
        for (const WireId wire : in.wires) {
            wires.push_back(wire_loss_W(circuit, point, wire));
            sum_W += wires.back();
        }
        total_W.push_back(sum_W);
    }
    const std::size_t parts = in.parts.size();
    const auto lost_W = [&](std::size_t p, std::size_t i) {
        return i < parts ? sources[p][i].loss_W : wires_W[p][i - parts];
    };
    const FollowedLoss worst = followed(course, total_W, way.time_constant_s());
    box.losses_W = worst.loss_W;
    constexpr double shown_W = 1e-3;
    for (std::size_t i = 0; i < in.parts.size() + in.wires.size(); ++i) {
        std::size_t most = 0;
        double loss_W = 0;
        for (std::size_t p = 0; p < sources.size(); ++p) {
            const double share_W = worst.shares[p] * lost_W(p, i);
            loss_W += share_W;
            if (share_W > worst.shares[most] * lost_W(most, i)) most = p;
        }
        if (loss_W < shown_W) continue;
        HeatSource source =
            i < parts ? sources[most][i] : loss_at(circuit, course.points[most], in.wires[i - parts]);
        if (loss_W < source.loss_W * 0.9995)
            source.working += (source.working.empty() ? "" : "; ") + to_text(loss_W, Dimension::power) +
                              " over the course, time constant " + way.time_text();
        source.loss_W = loss_W;
        box.sources.push_back(std::move(source));
    }
    std::stable_sort(box.sources.begin(), box.sources.end(), [](const HeatSource& a, const HeatSource& b) {
        constexpr double as_good_as_equal_W = 1e-6;
        if (a.loss_W > b.loss_W + as_good_as_equal_W) return true;
        if (b.loss_W > a.loss_W + as_good_as_equal_W) return false;
        return a.subject < b.subject;
    });
}

WarmBox box_in(const Circuit& circuit, const Facts& facts, const Course& course, LocationId id,
               const BoxWay& way, const Contents& in) {
    WarmBox box;
    box.location = id;
    box.mode = course.mode;
    box.corner = course.corner;
    box.inside_degC = box.around_degC = facts.around(id, course.mode).hi;
    take_losses(circuit, facts, course, way, in, box);
    const HeatWay& taken = way.worst_with(box.losses_W, box.around_degC);
    box.path = taken.path;
    box.working = taken.lines;
    box.source = taken.source();
    const bool judged = box.path == HeatPath::unknown || box.losses_W > 0;
    if (judged) box.state = taken.state;
    // Where nothing is lost in it, any of its states is as good.
    if (judged || taken.state.empty()) way.assume_of(taken);
    if (box.path == HeatPath::unknown || box.losses_W <= 0) return box;
    for (std::string& line : way.said_of(taken)) box.working.push_back(std::move(line));
    const auto inside = taken.inside_with(box.losses_W, box.around_degC);
    box.settles = inside.has_value();
    box.inside_degC = inside.value_or(std::max(hottest_inside_degC, box.around_degC));
    box.resistance_K_W = (box.inside_degC - box.around_degC) / box.losses_W;
    if (box.path == HeatPath::estimated && box.settles)
        box.working.push_back("so " + kelvins(box.inside_degC - box.around_degC) + " above " +
                              to_text(box.around_degC, Dimension::temperature) + " with " +
                              to_text(box.losses_W, Dimension::power));
    return box;
}

}  // namespace

std::vector<WarmBox> boxes_of(const Circuit& circuit, const Facts& facts,
                              const std::vector<OperatingPoint>& points) {
    const Harness& harness = *circuit.harness;
    std::vector<WarmBox> boxes;
    std::vector<Contents> contents;
    std::vector<Course> courses;
    for (std::size_t i = 0; i < harness.locations.size(); ++i) {
        if (!says_how_heat_leaves(harness, LocationId(i))) continue;
        if (contents.empty()) contents = contents_of(harness), courses = usable_courses(points);
        std::vector<std::optional<WarmBox>> by_mode(harness.modes.size());
        for (const Course& course : courses) {
            const BoxWay way(facts, LocationId(i), course.mode);
            WarmBox box = box_in(circuit, facts, course, LocationId(i), way, contents[i]);
            std::optional<WarmBox>& known = by_mode[course.mode.index()];
            if (!known || box.losses_W > known->losses_W) known = std::move(box);
        }
        for (std::optional<WarmBox>& box : by_mode)
            if (box) boxes.push_back(std::move(*box));
    }
    return boxes;
}

std::optional<BoxCourse> box_course(const Circuit& circuit, const Facts& facts, const Course& course,
                                    LocationId location, double limit_degC) {
    if (!says_how_heat_leaves(facts.harness(), location) || course.points.empty()) return std::nullopt;
    const BoxWay way(facts, location, course.mode);
    if (way.is_unknown()) return std::nullopt;
    const Contents in = contents_of(*circuit.harness)[location.index()];
    BoxCourse box;
    box.around_degC = facts.around(location, course.mode).hi;
    box.lasting_W = way.leaves_W(limit_degC, box.around_degC);
    box.body = {1, way.time_constant_s()};
    box.rises = loss_course(course, [&](const OperatingPoint& point) {
        double loss_W = 0;
        for (const PartId part : in.parts) loss_W += loss_at(circuit, facts, point, part).loss_W;
        for (const WireId wire : in.wires) loss_W += wire_loss_W(circuit, point, wire);
        box.losses_W.push_back(loss_W);
        const auto inside = way.worst_with(loss_W, box.around_degC).inside_with(loss_W, box.around_degC);
        return inside.value_or(hottest_inside_degC) - box.around_degC;
    });
    return box;
}

void warm(Facts& facts, const std::vector<WarmBox>& boxes) {
    for (const WarmBox& box : boxes) facts.warm(box.location, box.mode, box.inside_degC);
}

std::vector<WarmBox> warm_boxes(const Circuit& circuit, Facts& facts, std::vector<OperatingPoint>& points,
                                std::string_view only_mode) {
    std::vector<WarmBox> boxes = boxes_of(circuit, facts, points);
    constexpr int rounds = 2;  // conductors gain a few percent of resistance from it, which warms a little
    for (int round = 0; round < rounds && !boxes.empty(); ++round) {
        warm(facts, boxes);
        points = solve_modes(circuit, facts, only_mode);
        boxes = boxes_of(circuit, facts, points);
    }
    warm(facts, boxes);
    return boxes;
}

}  // namespace loomward
