#include "checker/heat/boxes.hpp"

#include <algorithm>
#include <optional>

#include "checker/heat/box_course.hpp"
#include "checker/heat/enclosure.hpp"
#include "checker/heat/wire_loss.hpp"
#include "checker/parts/printed_figures.hpp"

namespace loomward {

using namespace literals;

namespace {

constexpr double usual_time_constant_s = 600;  // (no source)
constexpr double m2_per_cm2 = 1e-4;

std::string lengths(const Enclosure& box) {
    const auto text = [](double value) { return to_text(value, Dimension::length); };
    return text(box.width_m) + " x " + text(box.depth_m) + " x " + text(box.height_m);
}

// What a location says of how its heat leaves.
class Way {
  public:
    Way(const Facts& facts, LocationId id) : facts_(facts), location_(facts.harness().locations[id.index()]) {
        const Value resistance = value("thermal-resistance"_attr);
        const bool sized = value("size"_attr).present();
        if (is_known("time-constant"_attr, 0)) {
            time_constant_s_ = value("time-constant"_attr).lo;
            time_text_ = to_text(time_constant_s_, Dimension::time);
        }
        if (resistance.present() && resistance.known != Knowledge::unknown) {
            path_ = HeatPath::stated;
            resistance_K_W_ = resistance.hi;
            lines_ = {"its heat leaves through " + to_text(resistance.hi, Dimension::thermal_resistance) +
                      ", as stated"};
        } else if (sized && is_known("size"_attr, 0) && is_known("size"_attr, 1) &&
                   is_known("size"_attr, 2)) {
            path_ = HeatPath::estimated;
            take_size();
        } else if (resistance.present() || sized) {
            path_ = HeatPath::unknown;
        }
        if (path_ && !is_known("time-constant"_attr, 0))
            facts_.assume("time constant of the air in a location", "10 min", "no source", location_.name);
    }

    std::optional<HeatPath> path() const { return path_; }
    double time_constant_s() const { return time_constant_s_; }
    const std::string& time_text() const { return time_text_; }
    const std::vector<std::string>& lines() const { return lines_; }
    std::string_view source() const {
        return path_ == HeatPath::estimated
                   ? "Churchill and Chu (1975) on the effective area of VDE 0660 part "
                     "500 (secondary), radiation; an estimate, good to a quarter"
                   : "";
    }
    // nullopt: hotter than is followed.
    std::optional<double> inside_with(double losses_W, double around_degC) const {
        if (path_ == HeatPath::estimated) return inside_degC(box_, losses_W, around_degC);
        const double degC = around_degC + losses_W * resistance_K_W_;
        return degC <= hottest_inside_degC ? std::optional(degC) : std::nullopt;
    }

    // What leaves at an inside, W.
    double leaves_W(double inside_degC, double around_degC) const {
        if (inside_degC <= around_degC) return 0;
        if (path_ == HeatPath::estimated)
            return through_wall_W(box_, inside_degC, around_degC) +
                   through_vents_W(box_, inside_degC, around_degC);
        return (inside_degC - around_degC) / resistance_K_W_;
    }

  private:
    Value value(Attr name, std::size_t place = 0) const {
        return facts_.harness().value(location_.attributes, name, place);
    }

    bool is_known(Attr name, std::size_t place) const {
        const Value one = value(name, place);
        return one.present() && one.known != Knowledge::unknown;
    }

    void take_size() {
        box_.width_m = value("size"_attr, 0).lo;
        box_.depth_m = value("size"_attr, 1).lo;
        box_.height_m = value("size"_attr, 2).lo;
        const bool stated = is_known("wall"_attr, 0);
        const std::string_view word = stated ? value("wall"_attr).text : "bare";
        box_.emissivity = word == "bare" ? bare_emissivity : painted_emissivity;
        if (word == "plastic") box_.wall_m2K_W = plastic_wall_m2K_W;
        if (!stated) facts_.assume("wall of a location", "bare", "no source, safe side", location_.name);
        std::string vents = "sealed";
        if (is_known("vents"_attr, 0) && is_known("vents"_attr, 1)) {
            const Value area = value("vents"_attr);
            box_.vent_m2 = area.lo * m2_per_cm2;
            box_.vent_apart_m = std::min(value("vents"_attr, 1).lo, box_.height_m);
            vents = "vents of " + to_text(area.lo, Dimension::opening) + " " +
                    to_text(box_.vent_apart_m, Dimension::length) + " apart";
        } else {
            facts_.assume("vents of a location", "none", "sealed, safe side", location_.name);
        }
        facts_.assume("how the heat of a location leaves",
                      "by the outside of its box, its back covered, its floor not counted",
                      "VDE 0660 part 500 (secondary), an estimate", location_.name);
        lines_ = {"its heat leaves by its outside, an estimate: " + lengths(box_) + ", " + std::string(word) +
                  ", its back covered, " + vents};
    }

    const Facts& facts_;
    const Location& location_;
    std::optional<HeatPath> path_;  // nullopt: it says nothing of its heat
    double resistance_K_W_ = 0, time_constant_s_ = usual_time_constant_s;
    std::string time_text_ = "10 min (no source)";
    Enclosure box_;
    std::vector<std::string> lines_;
};

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
void take_losses(const Circuit& circuit, const Facts& facts, const Course& course, const Way& way,
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
               const Way& way, const Contents& in) {
    WarmBox box;
    box.location = id;
    box.mode = course.mode;
    box.corner = course.corner;
    box.path = *way.path();
    box.working = way.lines();
    box.source = way.source();
    box.inside_degC = box.around_degC = facts.around(id, course.mode).hi;
    take_losses(circuit, facts, course, way, in, box);
    if (box.path == HeatPath::unknown || box.losses_W <= 0) return box;
    const auto inside = way.inside_with(box.losses_W, box.around_degC);
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
        const Way way(facts, LocationId(i));
        if (!way.path()) continue;
        if (contents.empty()) contents = contents_of(harness), courses = usable_courses(points);
        std::vector<std::optional<WarmBox>> by_mode(harness.modes.size());
        for (const Course& course : courses) {
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
    const Way way(facts, location);
    if (!way.path() || way.path() == HeatPath::unknown || course.points.empty()) return std::nullopt;
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
        return way.inside_with(loss_W, box.around_degC).value_or(hottest_inside_degC) - box.around_degC;
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
