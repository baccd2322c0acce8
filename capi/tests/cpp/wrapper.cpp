/*
 * The C++ wrapper. Prints a line for each failed check, then "N passed, N failed"; exits with 1 if one failed.
 *
 * wrapper DEMO: the folder of the demo's files, cli/demo.
 */
#include <spheresum.hpp>

#include <cmath>
#include <iostream>
#include <type_traits>

namespace {

int passed = 0, failed = 0;

void check(bool good, const std::string &what)
{
    good ? passed++ : failed++;
    if (!good) {
        std::cout << "FAILED " << what << "\n";
    }
}

void near(std::optional<double> got, double wanted, double allowed, const std::string &what)
{
    check(got && std::fabs(*got - wanted) <= allowed, what + ": " + (got ? std::to_string(*got) : "nothing"));
}

/// The error that a call throws; code 0 where it throws none.
template <class F> spheresum::error caught(F call)
{
    try {
        call();
    } catch (const spheresum::error &error) {
        return error;
    }
    return spheresum::error(SPHERESUM_STATUS_OK, "");
}

constexpr double pi = 3.14159265358979323846;

/// A 15 degree grid, poles and all phi included.
struct grid {
    std::vector<double> theta_deg, phi_deg;
    grid()
    {
        for (int i = 0; i <= 12; i++) {
            for (int j = 0; j < 24; j++) {
                theta_deg.push_back(15.0 * i);
                phi_deg.push_back(15.0 * j);
            }
        }
    }
};

/// EIRP of a short dipole along z, W: 10 mW at the equator, proportional to the square of sin(theta).
std::vector<double> dipole_w(const grid &of)
{
    std::vector<double> level;
    for (double theta_deg : of.theta_deg) {
        const double sine = std::sin(theta_deg * pi / 180);
        level.push_back(0.01 * sine * sine);
    }
    return level;
}

/// The sine rule on a 15 degree grid gives pi/24 sum sin(k pi/12) = pi/24 cot(pi/24) of what is the same everywhere.
const double sine_rule_db = 10 * std::log10(pi / 24 / std::tan(pi / 24));

/// The mean of sin(theta) squared over the sphere is 2/3.
const double dipole_trp_dbm = 10 + 10 * std::log10(2.0 / 3);

spheresum::readings dipole(spheresum::unit in)
{
    const grid of;
    std::vector<double> theta = dipole_w(of), phi(theta.size(), 0);
    if (in == spheresum::unit::decibel) {
        for (double &level : theta) {
            level = level > 1e-20 ? 10 * std::log10(level) + 30 : -200;
        }
        phi.assign(phi.size(), -200);
    }
    spheresum::readings made(spheresum::quantity::eirp, "dipole");
    made.add(spheresum::polarisation::theta, 868.3e6, of.theta_deg, of.phi_deg, theta, in);
    made.add(spheresum::polarisation::phi, 868.3e6, of.theta_deg, of.phi_deg, phi, in);
    return made;
}

void arrays()
{
    const grid of;
    const auto readings = dipole(spheresum::unit::linear);
    check(readings.count() == 2 * of.theta_deg.size(), "count of readings");
    check(readings.quantity() == spheresum::quantity::eirp, "quantity of readings");
    const auto frequencies = readings.frequencies_hz();
    check(frequencies.size() == 1, "one frequency");
    near(frequencies.at(0), 868.3e6, 0, "frequency of readings");
    const auto copied = readings.samples(100, 3);
    check(copied.theta_deg == std::vector<double>(of.theta_deg.begin() + 100, of.theta_deg.begin() + 103), "angles that went in");
    near(copied.value.at(1), dipole_w(of).at(101), 0, "a level that went in");
    check(copied.state.at(0) == SPHERESUM_SAMPLE_MEASURED, "state that went in");
    check(readings.samples().value.size() == readings.count(), "all readings");

    spheresum::options options;
    options.set("rule", "clenshaw-curtis").set("figures", "trp,directivity");
    for (auto in : {spheresum::unit::linear, spheresum::unit::decibel}) {
        spheresum::run run("dipole");
        run.add(dipole(in));
        const auto result = spheresum::reduce(run, options);
        const auto trp = result.find("trp");
        check(trp.state() == spheresum::figure_state::value && trp.unit() == "dBm" && trp.name() == "trp", "what the TRP is");
        near(trp.value(), dipole_trp_dbm, 1e-9, "TRP of a dipole");
        near(result.find("directivity").value(), 10 * std::log10(1.5), 1e-9, "directivity of a dipole");
        check(trp.rule() == "clenshaw-curtis" && result.rule() == trp.rule() && trp.edges().empty(), "rule");
        check(trp.reason().empty() && trp.lower() == trp.value() && trp.upper() == trp.value(), "bounds of what was measured");
        check(!trp.assumption().empty() && !trp.standard_uncertainty_db(), "assumption, and no uncertainty");
        check(!trp.number(SPHERESUM_NUMBER_THETA_DEG), "a TRP has no direction");
        check(result.channels() == 1 && result.figures().size() == 2 && result.name() == "dipole", "what the result holds");
        near(result.frequency_hz(0), 868.3e6, 0, "frequency of a result");
        check(!result.frequency_hz(1), "no second channel");
        check(result.quantity() == spheresum::quantity::eirp, "quantity of a result");
        check(result.verdict() == spheresum::verdict::not_assessed && !result.noise(), "no noise report without a floor");
        check(result.json().find("\"spheresum.reduction/1\"") != std::string::npos, "JSON");
        check(result.csv().find("trp") != std::string::npos, "CSV");
        check(result.skeleton("a.csv@theta, b.csv@phi", "--rule sine", "today").find("options: --rule sine") != std::string::npos, "skeleton");
        check(caught([&] { result.skeleton("a.csv", "rule", "today"); }).code() == SPHERESUM_STATUS_USAGE, "options that are none");
    }

    // A field whose squared size is EIRP in W; and single readings, with states.
    spheresum::readings field(spheresum::quantity::field_sqrtw, "field");
    std::vector<double> size, none(of.theta_deg.size(), 0);
    for (double w : dipole_w(of)) {
        size.push_back(std::sqrt(w));
    }
    field.add_field(spheresum::polarisation::theta, std::nullopt, of.theta_deg, of.phi_deg, none, size);
    field.add_field(spheresum::polarisation::phi, std::nullopt, of.theta_deg, of.phi_deg, none, none);
    check(!field.frequencies_hz().at(0), "an unknown frequency");
    spheresum::run by_field("field");
    by_field.add(field);
    near(spheresum::reduce(by_field, options).find("trp").value(), dipole_trp_dbm, 1e-9, "TRP of a field");
    spheresum::readings one(spheresum::quantity::eirp, "one");
    one.add_entry("averages", "12");
    one.add_one(spheresum::polarisation::total, 1e9, 30, 45, -12.5, spheresum::unit::decibel, spheresum::sample::at_most);
    check(one.samples().state.at(0) == SPHERESUM_SAMPLE_AT_MOST, "state of one reading");
    near(one.samples().value.at(0), std::pow(10.0, -4.25), 1e-15, "one reading in W");

    // In one call: 7 dBm in each polarisation everywhere.
    const std::vector<double> seven(of.theta_deg.size(), 7);
    const auto trp = spheresum::trp_dbm(of.theta_deg, of.phi_deg, seven, seven, spheresum::rule::sine);
    check(trp.state == spheresum::figure_state::value, "state of a TRP");
    near(trp.dbm, 7 + 10 * std::log10(2.0) + sine_rule_db, 1e-9, "TRP in one call");
}

void errors()
{
    const grid of;
    auto e = caught([] { spheresum::options().set("rulee", "sine"); });
    check(e.family() == SPHERESUM_STATUS_USAGE && e.field() == "rulee", "an option that there is not");
    check(e.hint().find("did you mean rule?") != std::string::npos && e.message() == std::string(e.what()), "its hint");
    std::vector<double> spoilt(of.theta_deg.size(), 0);
    spoilt[41] = std::nan("");
    spheresum::readings readings(spheresum::quantity::eirp, "spoilt");
    e = caught([&] { readings.add(spheresum::polarisation::theta, 1e9, of.theta_deg, of.phi_deg, spoilt); });
    check(e.code() == SPHERESUM_STATUS_INPUT && e.field() == "level" && e.line() == 42 && e.column() == 0, "a NaN");
    e = caught([&] { readings.add(spheresum::polarisation::theta, 1e9, of.theta_deg, of.phi_deg, {1, 2}); });
    check(e.code() == SPHERESUM_STATUS_USAGE && e.field() == "level", "arrays of two lengths");
    e = caught([&] { readings.samples(0, 1); });
    check(e.code() == SPHERESUM_STATUS_USAGE, "readings that there are not");
    e = caught([] { spheresum::file::open(spheresum::formats(), "no/such/file"); });
    check(e.family() == SPHERESUM_STATUS_IO && e.line() == 0, "a file that there is not");
    e = caught([] { spheresum::reduce(spheresum::run("empty")); });
    check(e.code() != SPHERESUM_STATUS_OK, "a run without readings");
    e = caught([] { spheresum::check_table(spheresum::formats(), "no/such.tbl"); });
    check(e.code() == SPHERESUM_STATUS_IO, "table that is not there");
    e = caught([] { spheresum::formats().load("plugin.so"); });
    check(e.code() == SPHERESUM_STATUS_USAGE, "a plug-in without a folder");
    e = caught([] { spheresum::formats().add_layout("broken.toml", "id = \n"); });
    check(e.family() == SPHERESUM_STATUS_INPUT && e.line() == 1, "a broken layout");

    spheresum::formats first, second(std::move(first));
    check(first.count() == 0 && second.count() > 5, "moved");
    check(!second.id(0).empty() && !second.name(0).empty() && second.id(99).empty(), "formats");
    second.specification(0);
    e = caught([&] { spheresum::file::read(first, "x.csv", "x"); });
    check(e.code() == SPHERESUM_STATUS_USAGE, "formats that were moved from");
    first = std::move(second);
    check(first.count() > 5, "moved back");
    static_assert(!std::is_copy_constructible_v<spheresum::run> && std::is_nothrow_move_constructible_v<spheresum::run>);
    static_assert(!std::is_copy_constructible_v<spheresum::reduction> && std::is_nothrow_move_assignable_v<spheresum::reduction>);
}

/// A line "@ theta phi level" a direction, total EIRP, dBm.
class at_signs : public spheresum::adapter {
public:
    explicit at_signs(int &alive) : alive_(alive) { alive_++; }
    ~at_signs() override { alive_--; }
    std::string id() const override { return "at-signs"; }
    std::string name() const override { return "total EIRP behind at signs"; }
    spheresum::look_result look(std::string_view, std::string_view head) const override
    {
        if (head.substr(0, 2) != "@ ") {
            return {spheresum::confidence::none, "no at sign"};
        }
        return {spheresum::confidence::certain, "an at sign"};
    }
    void read(std::string_view, std::string_view text, spheresum::sink &out) const override
    {
        out.begin(spheresum::quantity::eirp);
        if (out.option("loud") == "yes") {
            out.remark(spheresum::severity::warning, "loud", "it was asked for", 1);
        }
        std::uint64_t number = 0;
        for (std::size_t at = 0; at < text.size();) {
            const std::size_t end = std::min(text.find('\n', at), text.size());
            const std::string line(text.substr(at, end - at));
            at = end + 1;
            number++;
            double field[3];
            int taken = 0;
            if (std::sscanf(line.c_str(), "@ %lf %lf %lf %n", &field[0], &field[1], &field[2], &taken) != 3 ||
                taken != static_cast<int>(line.size())) {
                throw spheresum::error(SPHERESUM_STATUS_INPUT, "these are not three numbers", "write @ 30 45 -12.5", number, 3);
            }
            out.add(spheresum::polarisation::total, std::nullopt, field[0], field[1], field[2], spheresum::unit::decibel,
                    spheresum::sample::measured, number);
        }
    }

private:
    int &alive_;
};

void adapters()
{
    int alive = 0;
    {
        spheresum::formats formats;
        formats.add(std::make_unique<at_signs>(alive));
        check(alive == 1 && formats.id(formats.count() - 1) == "at-signs", "an adapter was added");
        auto e = caught([&] { formats.add(std::make_unique<at_signs>(alive)); });
        check(e.code() == SPHERESUM_STATUS_USAGE && alive == 1, "an id that is taken");
        std::string text;
        for (int i = 0; i <= 12; i++) {
            for (int j = 0; j < 24; j++) {
                text += "@ " + std::to_string(15 * i) + " " + std::to_string(15 * j) + " 7\n";
            }
        }
        const auto *bytes = reinterpret_cast<const std::uint8_t *>(text.data());
        const auto candidates = formats.look("a.txt", bytes, text.size());
        check(candidates.size() == formats.count() && candidates.at(0).id == "at-signs" &&
                  candidates.at(0).confidence == spheresum::confidence::certain && candidates.at(0).reason == "an at sign",
              "detection");
        spheresum::options options;
        options.set("frequency-mhz", "868.3").set("option", "loud=yes");
        const auto file = spheresum::file::read(formats, "a.txt", text, options);
        check(file.format() == "at-signs" && !file.has_curve() && file.sha256().size() == 64, "a file in memory");
        check(file.readings() && file.readings()->count() == 13 * 24, "its readings");
        near(file.readings()->frequencies_hz().at(0), 868.3e6, 0, "its frequency");
        bool loud = false;
        for (const auto &finding : file.findings()) {
            loud |= finding.code() == "loud" && finding.severity() == spheresum::severity::warning && finding.line() == 1 &&
                    finding.column() == 0 && !finding.effect_db() && finding.source() == "a.txt" && finding.field().empty() &&
                    finding.advice().empty() && !finding.message().empty();
        }
        check(loud, "its remark");
        spheresum::run run("a");
        near(spheresum::reduce(run.add(file)).find("trp").value(), 7 + sine_rule_db, 1e-9, "TRP of 7 dBm everywhere");
        text.replace(text.find("\n@ 15 45 ") + 3, 2, "xx");
        e = caught([&] { spheresum::file::read(formats, "a.txt", text); });
        check(e.code() == SPHERESUM_STATUS_INPUT && e.line() == 28 && e.column() == 3 && e.hint() == "write @ 30 45 -12.5",
              "line and column of an adapter");
        // The sink refuses NaN; its reason comes through.
        e = caught([&] { spheresum::file::read(formats, "a.txt", "@ 0 0 nan\n"); });
        check(e.code() == SPHERESUM_STATUS_INPUT && std::string(e.message()).find("level") != std::string::npos, "what a sink refuses");
    }
    check(alive == 0, "adapters were destroyed");
}

void files(const std::string &demo)
{
    const spheresum::formats formats;
    spheresum::options options;
    options.set_range(spheresum::file::open(formats, demo + "/range-loss.csv"));
    check(spheresum::file::open(formats, demo + "/range-loss.csv").has_curve(), "a curve");
    check(!spheresum::file::open(formats, demo + "/range-loss.csv").readings(), "a curve has no readings");
    auto run = [&](const std::string &name) {
        spheresum::run made(name);
        made.add(spheresum::file::open(formats, demo + "/" + name + ".csv", spheresum::options()));
        return made;
    };
    const auto a = run("gauge-rev-a"), b = run("gauge-rev-b"), saving = run("gauge-rev-b-saving");
    const auto both = spheresum::compare({&a, &b}, options);
    check(both.tests() == 1 && both.name() == "gauge-rev-b" && both.headline() == "trp" && both.channels() == 1, "a comparison");
    near(both.frequency_hz(0, 0), 868.3e6, 0, "its frequency");
    const auto differences = both.differences();
    const auto &trp = differences.at(0);
    check(trp.name() == "trp" && trp.unit() == "dBm", "its first difference");
    check(trp.verdict() == spheresum::difference_verdict::not_assessed, "its verdict");
    const auto reference = both.reduction(0).find("trp").value(), test = both.reduction(1).find("trp").value();
    check(reference && trp.reference() == reference && trp.test() == test, "both sides of a difference");
    near(trp.db(), *test - *reference, 1e-12, "a difference is test - reference");
    near(both.largest_drop_db(), *reference - *test, 1e-12, "the largest drop");
    // 1 - 10^(d/10), in per cent.
    near(trp.number(SPHERESUM_DIFFERENCE_SHARE_LOST_PERCENT), 100 * (1 - std::pow(10.0, *trp.db() / 10)), 1e-9, "power lost");
    check(both.sentence().find("gauge-rev-b radiates") == 0, "a sentence");
    check(both.json().find("\"spheresum.comparison/1\"") != std::string::npos && both.csv().find("trp") != std::string::npos,
          "documents");
    both.summary();
    both.findings();
    both.reduction(0).summary();
    check(!both.reduction(1).findings().empty(), "findings on gaps");
    check(caught([&] { both.reduction(2); }).code() == SPHERESUM_STATUS_USAGE, "a run that there is not");
    // A reduction alone is that of the comparison.
    near(spheresum::reduce(a, options).find("trp").value(), *reference, 0, "a run on its own");

    const auto floor = spheresum::file::open(formats, demo + "/noise-floor.csv");
    options.set("detector", "rms").set_floor(floor.readings().value());
    const auto weak = spheresum::reduce(saving, options);
    const auto noise = weak.noise();
    check(noise && weak.verdict() == noise->verdict() && noise->verdict() != spheresum::verdict::not_assessed, "a noise report");
    near(noise->number(SPHERESUM_NOISE_AVERAGES), 12, 0, "averages of the file");
    check(noise->floor_dbm(spheresum::polarisation::theta) && noise->floor_dbm(spheresum::polarisation::phi), "floors");
    check(weak.find("trp").standard_uncertainty_db().value_or(0) > 0, "an uncertainty by noise");
}

void live()
{
    spheresum::running running(spheresum::quantity::eirp, 30, 30, spheresum::layout::theta_phi, {868.3e6});
    for (int theta = 0; theta <= 180; theta += 30) {
        for (int phi = 0; phi < 360; phi += 30) {
            running.add(spheresum::polarisation::theta, 868.3e6, theta, phi, 0.0);
        }
    }
    check(!running.is_complete() && !running.figures().find("trp").value(), "no value before phi has begun");
    // All of theta is 0 dBm: a lower bound with phi at zero, the sine rule's own 0.1 dB aside.
    near(running.figures().find("trp").lower(), 0.0, 0.15, "the lower bound");
    const auto progress = running.progress(spheresum::polarisation::theta);
    check(progress.first == progress.second && progress.second == 5 * 12 + 2, "directions");
    for (int theta = 0; theta <= 180; theta += 30) {
        for (int phi = 0; phi < 360; phi += 30) {
            running.add(spheresum::polarisation::phi, 868.3e6, theta, phi, 0.0);
        }
    }
    check(running.is_complete() && running.figures().count() > 3 && !running.figures().at(0).name().empty(), "figures");
    const auto end = running.finish("isotropic");
    near(end.find("trp").value(), 10 * std::log10(2.0), 0.15, "two polarisations of 0 dBm");
    const auto readings = running.readings();
    check(readings.count() == 2 * 7 * 12, "readings");
    check(caught([&] { running.add(spheresum::polarisation::phi, 868.3e6, 17, 0, 0.0); }).family() == SPHERESUM_STATUS_INPUT,
          "off the grid");

    spheresum::run run("isotropic");
    run.add(readings);
    spheresum::options options;
    int calls = 0;
    options.set_watch([&](double, const char *) { return ++calls > 0; });
    near(spheresum::reduce(run, options).find("trp").value(), *end.find("trp").value(), 0, "a watched reduction");
    check(calls > 3, "it was told");
    options.set_watch([&](double, const char *) { return false; });
    check(caught([&] { spheresum::reduce(run, options); }).code() == SPHERESUM_STATUS_CANCELLED, "it was stopped");
    options.set_watch([&](double, const char *) -> bool { throw 1; });
    check(caught([&] { spheresum::reduce(run, options); }).code() == SPHERESUM_STATUS_CANCELLED, "an exception stops too");
    options.set_watch({});
    check(spheresum::reduce(run, options).find("trp").value().has_value(), "nobody watches");
}

} // namespace

int main(int count, char **argument)
{
    if (count != 2) {
        std::cerr << "usage: wrapper DEMO\n";
        return 2;
    }
    try {
        check(spheresum::version() == SPHERESUM_VERSION && spheresum::version_number() == SPHERESUM_VERSION_NUMBER, "version");
        check(spheresum::options::names().size() > 20, "names of options");
        arrays();
        errors();
        adapters();
        files(argument[1]);
        live();
        const auto weights = spheresum::rule_weights(spheresum::rule::clenshaw_curtis, 12);
        near(weights.at(0), 1.0 / 143, 1e-15, "weight of a pole");
        check(caught([] { spheresum::rule_weights(spheresum::rule::sine, 20000); }).code() == SPHERESUM_STATUS_LIMIT, "too many steps");
        std::size_t rows = 0;
        for (const auto &table : spheresum::check_tables()) {
            check(table.failed == 0 && table.passed > 0, "table " + table.name + "\n" + table.text);
            rows += table.passed;
        }
        check(rows > 100, "rows of tables");
    } catch (const std::exception &error) {
        check(false, std::string("unexpected: ") + error.what());
    }
    std::cout << passed << " passed, " << failed << " failed\n";
    return failed == 0 ? 0 : 1;
}
