#include "checker/work/remembered.hpp"

#include <catch2/catch.hpp>

#include "checker/solver/network_question.hpp"

namespace loomward::remembered_test {

TEST_CASE("what is remembered is found again, and forgotten when much else came since") {
    Remembered<int> known(100);
    CHECK_FALSE(known.find("one"));
    known.keep("one", 1, 20);
    CHECK(known.find("one") == 1);
    CHECK_FALSE(known.find("two"));
    for (int i = 0; i < 3; ++i) known.keep("other " + std::to_string(i), i, 30);
    CHECK(known.find("one") == 1);  // asked for while others came
    for (int i = 0; i < 9; ++i) known.keep("further " + std::to_string(i), i, 30);
    CHECK_FALSE(known.find("one"));
    CHECK(known.find("further 8") == 8);
}

TEST_CASE("what is found again while all that came before it is forgotten is found") {
    Remembered<std::string> known(100);
    for (const char* question : {"one", "two", "three", "four"}) known.keep(question, question, 40);
    // "three" and "four" fill what came lately, so that "one" pushes them back and "two" out.
    CHECK(known.find("one") == "one");
    CHECK_FALSE(known.find("two"));
    CHECK(known.find("four") == "four");
    CHECK(known.find("one") == "one");
    CHECK(known.find("three") == "three");
}

TEST_CASE("two networks are one question only where every figure is the same") {
    Network network{3, {}, {}};
    network.branches.push_back({Branch::Type::emf, 0, 1, 0.01, 12, 0, 0, 0, 1, false, {}});
    network.branches.push_back({Branch::Type::power_load, 1, 0, 0, 0, 0, 60, 3, 1, false, {}});
    const std::string question = question_of(network, 1);
    CHECK(question == question_of(network, 1));
    CHECK(question != question_of(network, 2));
    const auto differs = [&](auto change) {
        Network other = network;
        change(other);
        return question_of(other, 1) != question;
    };
    CHECK(differs([](Network& other) { other.node_count = 4; }));
    CHECK(differs([](Network& other) { other.branches[0].voltage_V = 12.000000000000002; }));
    CHECK(differs([](Network& other) { other.branches[0].voltage_V = -12; }));
    CHECK(differs([](Network& other) { std::swap(other.branches[0].from, other.branches[0].to); }));
    CHECK(differs([](Network& other) { other.branches[1].type = Branch::Type::converter_input; }));
    CHECK(differs([](Network& other) { other.branches[1].both_ways = true; }));
    CHECK(differs([](Network& other) { other.branches[1].partner = BranchId(std::size_t{0}); }));
    // The same number in the place of another figure.
    CHECK(differs([](Network& other) { std::swap(other.branches[1].power_W, other.branches[1].current_A); }));
    CHECK(differs([](Network& other) { other.ties.push_back({1, 2}); }));
    CHECK(differs([](Network& other) { other.branches.pop_back(); }));
}

}  // namespace loomward::remembered_test
