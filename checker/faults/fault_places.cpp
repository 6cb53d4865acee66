// Where shorts are looked for: wherever two conductors touch (checker/circuit/touching) that do not hang
// together anyway.
#include <algorithm>

#include "checker/faults/fault.hpp"

namespace loomward {

namespace {

FaultPlace::Kind kind_of(const Circuit& circuit, const Touch& touch) {
    switch (touch.place) {
        case Touch::Place::run:
            return FaultPlace::Kind::to_return;
        case Touch::Place::frame:
            return FaultPlace::Kind::to_frame;
        case Touch::Place::bundle:
        case Touch::Place::cable:
            return FaultPlace::Kind::neighbours;
        case Touch::Place::location:
            return FaultPlace::Kind::posts;
        case Touch::Place::part:
            break;
    }
    for (const EdgeId id : circuit.edges_of_part[touch.part.index()]) {
        const Edge& edge = circuit.edge(id);
        if (!fails_short(edge.role)) continue;
        if ((edge.from == touch.a && edge.to == touch.b) || (edge.from == touch.b && edge.to == touch.a))
            return FaultPlace::Kind::across_part;
    }
    return FaultPlace::Kind::terminals;
}

}  // namespace

FaultPlace fault_place(const Circuit& circuit, const Touch& touch) {
    FaultPlace place;
    place.kind = kind_of(circuit, touch);
    place.a = touch.a;
    place.b = touch.b;
    place.at = touch.at;
    place.against = touch.against;
    place.wire = touch.wire;
    place.neighbour = touch.other_wire;
    place.part = touch.part;
    return place;
}

std::vector<FaultPlace> fault_places(const Circuit& circuit, const Touching& touching) {
    const Runs& runs = touching.runs();
    std::vector<FaultPlace> places;
    for (const Touch& touch : touching.all()) {
        // Of two that are joined anyway nothing is driven through the other; no plus drives nothing.
        if (touch.same_supply || (!runs.forward(touch.a) && !runs.forward(touch.b))) continue;
        places.push_back(fault_place(circuit, touch));
    }
    return places;
}

std::string fault_text(const Harness& harness, const FaultPlace& place) {
    const auto name = [&](WireId wire) { return std::string(harness.wire(wire).name); };
    const std::string at(harness.terminal(place.at).path), against(harness.terminal(place.against).path);
    const std::string end = place.wire ? "the end of " + name(place.wire) + " at " + at : at;
    switch (place.kind) {
        case FaultPlace::Kind::to_return:
            if (place.neighbour)
                return end + " touches " + name(place.neighbour) + " on its way to " + against;
            return end + " touches " + against;
        case FaultPlace::Kind::to_frame:
            return end + " touches the frame " + against;
        case FaultPlace::Kind::across_part:
            return std::string(harness.part(place.part).name) + " fails short, " + at + " to " + against;
        case FaultPlace::Kind::neighbours:
            return name(place.wire) + " touches its neighbour " + name(place.neighbour) + ", " + at + " to " +
                   against;
        case FaultPlace::Kind::terminals:
        case FaultPlace::Kind::posts:
        case FaultPlace::Kind::named:
            return at + " touches " + against;
    }
    return {};
}

}  // namespace loomward
