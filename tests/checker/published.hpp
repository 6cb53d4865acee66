// Published values, each beside what the checker's own function gives for it. The values are typed from the
// documents named in `source`; where a figure comes from memory the source says so.
#pragma once
#include <string>
#include <vector>

struct Published {
    std::string what;  // tells it from every other: "33 CFR 183.425 Table 5, AWG 10 at 105 degC"
    double expected = 0;
    double found = 0;
    double tolerance = 0;  // what rounding in print allows; 0 means to the last bit but a few
    std::string source;
};

// One list a file published_*_test.cpp.
std::vector<Published> published_conductors();
std::vector<Published> published_ampacities();
std::vector<Published> published_protection();
std::vector<Published> published_formulas();

void check_published(const std::vector<Published>& values);
