// The answers that hang on what a part does between two of its points, printed and held. A change here is a
// change of many rules at once: read the difference (tests/approve) before committing it.
#include <catch2/catch.hpp>

#include <iomanip>
#include <sstream>
#include <utility>

#include "checker/circuit/roles.hpp"
#include "tests/approved.hpp"

namespace roles_test {

using namespace loomward;

namespace {

constexpr std::pair<const char*, bool RoleRow::*> columns[] = {
    {"conducts", &RoleRow::conducts},
    {"one way", &RoleRow::one_way},
    {"source", &RoleRow::source},
    {"self-limiting", &RoleRow::self_limiting},
    {"uses", &RoleRow::uses},
    {"power", &RoleRow::power},
    {"polarised", &RoleRow::polarised},
    {"stores", &RoleRow::stores},
    {"protective", &RoleRow::protective},
    {"opens on current", &RoleRow::opens_on_current},
    {"electronic", &RoleRow::electronic},
    {"by hand", &RoleRow::opened_by_hand},
    {"by electronics", &RoleRow::opened_by_electronics},
    {"driver", &RoleRow::driver},
    {"fails short", &RoleRow::fails_short},
    {"passes on", &RoleRow::passes_on},
};

std::string table() {
    std::ostringstream out;
    const auto line = [&](std::string_view name, const auto& cell) {
        out << std::left << std::setw(18) << name;
        for (const auto& column : columns) out << " | " << cell(column);
        out << '\n';
    };
    line("", [](const auto& column) { return std::string(column.first); });
    for (const RoleRow& row : role_table)
        line(row.name, [&](const auto& column) {
            std::string cell(std::string_view(column.first).size(), ' ');
            if (row.*column.second) cell[cell.size() / 2] = 'x';
            return cell;
        });
    return out.str();
}

}  // namespace

TEST_CASE("the table of roles is the one that was agreed on") {
    const std::string now = table();
    CAPTURE(now);
    CHECK(approved::compare_with("tests/checker/roles.txt", now) == now);
}

TEST_CASE("the columns of the table of roles do not contradict each other") {
    for (const RoleRow& row : role_table) {
        CAPTURE(row.name);
        CHECK(row.conducts + row.one_way + row.source + row.uses <= 1);
        CHECK((!row.self_limiting || row.source));
        CHECK((!row.power || row.uses));
        CHECK((!row.protective || (row.opens_on_current && row.conducts)));
        CHECK((!row.opened_by_electronics || row.electronic));
        CHECK((!row.driver || row.opened_by_electronics));
    }
}

}  // namespace roles_test
