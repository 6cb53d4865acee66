#include "parser/language/insulations.hpp"

#include <array>

namespace loomward {
namespace {

constexpr auto families = std::to_array<InsulationFamily>({
    {"pvc", 70, "IEC 60364-5-52 table B.52.1"},
    {"rubber", 60, "IEC 60245 (memory)"},
    {"polyurethane", 90, "ISO 6722 class A to B (memory)"},
    {"tpe", 90, "ISO 6722 class A to B (memory)"},
    {"epr", 90, "IEC 60364-5-52 table B.52.1"},
    {"xlpe", 90, "IEC 60364-5-52 table B.52.1"},
    {"etfe", 150, "ISO 6722 class D (memory)"},
    {"silicone", 180, "IEC 60245-3 (memory)"},
    {"fep", 200, "ISO 6722 class F (memory)"},
    {"ptfe", 250, "ISO 6722 class H (memory)"},
    {"polyimide", 200, "memory"},
});

}  // namespace

std::span<const InsulationFamily> insulation_families() {
    return families;
}

const InsulationFamily* find_insulation(std::string_view word) {
    for (const InsulationFamily& family : families)
        if (family.word == word) return &family;
    return nullptr;
}

}  // namespace loomward
