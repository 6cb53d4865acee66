#include "checker/heat/contact_hold.hpp"

#include <cmath>

#include "checker/parts/elements.hpp"
#include "checker/parts/no_end.hpp"
#include "checker/parts/ratings.hpp"

namespace loomward {

using namespace literals;

std::optional<ContactHold> contact_hold(const Circuit& circuit, const Facts& facts, const Course& course,
                                        EdgeId id) {
    const Edge& edge = circuit.edge(id);
    const auto limit = facts.quantity(edge.part, "limit"_attr);
    const Quantity ambient = facts.ambient(edge.part, course.mode);
    const auto rating = current_rating(facts, edge, ambient, Direction::either);
    if (!limit || !rating || peak_of(course, id).current_A <= idle_A) return std::nullopt;
    ContactHold hold{id, ambient.hi, limit->lo, rating->may_A, {}, {}};
    if (hold.may_A <= 0 || hold.limit_K() <= 0) return std::nullopt;  // hot-place tells of that
    hold.body = {1, contact_warm_up(facts, edge.part, hold.may_A).quick_s};
    hold.losses = loss_course(course, [&](const OperatingPoint& point) {
        const double share = std::abs(point.edge_A[id.index()]) / hold.may_A;
        return share * share * hold.limit_K();
    });
    return hold;
}

std::vector<ContactTemperature> contact_temperatures(const Circuit& circuit, const Facts& facts,
                                                     const std::vector<OperatingPoint>& points) {
    const std::vector<Course> courses = usable_courses(points);
    const auto worse = [&](const ContactTemperature& now, const ContactTemperature& known) {
        if (now.settles != known.settles) return !now.settles;
        constexpr double as_good_as_equal_K = 1e-6;
        return now.hottest_degC > known.hottest_degC + as_good_as_equal_K;
    };
    std::vector<ContactTemperature> found;
    for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
        if (circuit.edges[i].role != EdgeRole::contact) continue;
        std::optional<ContactTemperature> worst;
        for (const Course& course : courses) {
            const auto hold = contact_hold(circuit, facts, course, EdgeId(i));
            if (!hold) continue;
            const DutyPeak peak = course_peak(hold->body, hold->losses);
            const ContactTemperature now{EdgeId(i),          course.mode,
                                         hold->ambient_degC, hold->ambient_degC + peak.rise_K,
                                         hold->limit_degC,   peak.settles};
            if (!worst || worse(now, *worst)) worst = now;
        }
        if (worst) found.push_back(*worst);
    }
    return found;
}

}  // namespace loomward
