// What one fault after another adds to the survey: the worst of each device, contact and wire.
//
// A long stretch in series is not gone through for each fault: what passes it is laid over the stretch, and
// at the end the largest at each place counts. Wires heat alike that are made alike, so that of a stretch
// only the makes are looked at.
#pragma once
#include <functional>
#include <optional>
#include <vector>

#include "checker/faults/fault.hpp"
#include "checker/faults/fault_way.hpp"

namespace loomward {

class FaultTaker {
  public:
    FaultTaker(const Circuit& circuit, const Facts& facts, const FaultTeller::Setting& setting,
               const std::vector<FaultNetwork>& networks, FaultSurvey& survey);

    // `network`: the number of the one it was told in.
    void take(std::size_t network, const FaultOutcome& outcome, const FaultCourse& course);
    // After the last one. `slowest` tells an outcome again by nothing but the last gates.
    void finish(const std::function<std::optional<FaultStory>(const FaultOutcome&)>& slowest);

  private:
    struct Laid {  // over the places from `first` to before `end`
        std::uint32_t first, end;
        double value;
        std::uint32_t outcome;
    };
    struct Stretches {                                           // of one network
        std::vector<std::vector<std::uint32_t>> places_of_make;  // where its wires lie in the line
        std::vector<std::vector<Laid>> wires;                    // by make, over places_of_make
    };
    struct Candidate {
        PartId device;
        double current_A;  // below 0: the largest comes first
        std::uint32_t outcome;
        auto operator<=>(const Candidate&) const = default;
    };
    bool passes_device(const FaultCourse& course, const std::vector<std::uint32_t>& way,
                       bool& judgeable) const;
    bool carries(const FaultCourse& course, const std::vector<std::uint32_t>& way, double current_A) const;
    bool can_be_judged(const FaultCourse& course, const CourseWay& way) const;
    bool is_stored(const CourseWay& way) const;
    void take_device(const FaultCourse& course, std::uint32_t piece, bool stored);
    void take_contacts(const FaultCourse& course, std::uint32_t piece);
    void take_wires(const FaultCourse& course, std::uint32_t piece);
    void take_races(const FaultCourse& course, const CourseWay& way);
    void take_candidate(const FaultCourse& course);
    void take_contact(EdgeId edge, double let_through_A2s, std::uint32_t outcome);
    void take_wire(EdgeId edge, double ratio, std::uint32_t outcome);
    void find_makes();
    Stretches& stretches();
    EdgeId edge_of(const FaultCourse& course, std::uint32_t piece) const;

    const Circuit& circuit_;
    const Facts& facts_;
    const FaultTeller::Setting& setting_;
    const std::vector<FaultNetwork>& networks_;
    FaultSurvey& survey_;
    double free_m_;
    std::vector<std::uint32_t> make_of_wire_;  // by WireId
    std::vector<WireId> makes_;                // one wire of each
    std::vector<Stretches> stretches_;         // by network
    std::vector<Candidate> candidates_;
    // Of the fault that is being taken.
    std::size_t network_ = 0;
    FaultPlace place_;
    std::uint32_t number_ = 0;
};

}  // namespace loomward
