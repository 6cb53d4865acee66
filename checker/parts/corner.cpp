#include "checker/parts/corner.hpp"

namespace loomward {

std::string_view corner_name(Corner corner) {
    switch (corner) {
        case Corner::fault_max:
            return "fault-max";
        case Corner::fault_min:
            return "fault-min";
        case Corner::run_hot:
            return "run-hot";
        case Corner::run_full:
            return "run-full";
    }
    return {};
}

}  // namespace loomward
