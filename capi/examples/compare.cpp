// The whole job in C++17: two files and a range loss in, the comparison in one sentence and the difference of the TRP out.
#include <spheresum.hpp>

#include <cstdio>
#include <iostream>

int main(int count, char **argument)
try {
    if (count != 4) {
        std::cerr << "usage: compare REFERENCE TEST RANGE-LOSS\n";
        return 2;
    }
    const spheresum::formats formats;
    spheresum::options options;
    options.set_range(spheresum::file::open(formats, argument[3]));
    spheresum::run reference("rev-a"), test("rev-b");
    reference.add(spheresum::file::open(formats, argument[1]));
    test.add(spheresum::file::open(formats, argument[2]));
    const auto comparison = spheresum::compare({&reference, &test}, options);
    std::cout << comparison.sentence() << "\n";
    for (const auto &difference : comparison.differences()) {
        if (difference.name() == "trp" && difference.db()) {
            std::printf("trp %.6f dB\n", *difference.db());
        }
    }
    return 0;
} catch (const spheresum::error &error) {
    std::cerr << error.message() << "\n" << error.hint() << "\n";
    return 1;
}
