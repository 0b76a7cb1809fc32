"""Header names of limits, as people write them: role → names, lower case, singular; the first is used in help."""

from recall.kinds.prose.lexicon import by_role

HEADERS = by_role(
    """
    parameter: parameter, item, limit name, quantity, specification, spec, parameter name, limitation name,
        characteristic, property, measurement, metric, gauge, instrument, indicator, sensor, attribute,
        variable, v-speed, v speed, airspeed
    minimum: minimum, min, lower limit, minimum limit, min limit, low limit, lowest, minimum value, min value,
        lower, at least, not below, low
    maximum: maximum, max, upper limit, maximum limit, max limit, high limit, highest, maximum value, max
        value, upper, at most, not above, high, not to exceed, do not exceed, maximum allowed, max allowed
    normal: normal, typ, typical, nominal, normal range, normal operating range, normal value, typical value,
        nominal value, green arc, green range, green, normal operation
    value: value, limit, limitation, range, operating limit, limit value, limiting value, operating range,
        threshold, setpoint, set point, requirement, permitted, allowed, permissible, permitted range, allowed
        range, how much
    caution: caution, alert, caution range, caution threshold, alert threshold, caution limit, amber, yellow,
        yellow arc, yellow range, amber range, precautionary range, advisory, alert limit, alert level, low
        alarm, alarm low, low warning, warning low, low alert, low caution, prealarm, pre-alarm, caution level
    warning: warning, critical, shutdown, red line, redline, warning threshold, shutdown threshold, critical
        threshold, warning limit, warning range, red, trip, alarm, alarm threshold, shutdown limit, critical
        limit, critical value, warning level, trip threshold, trip point, red radial, high alarm, alarm high,
        high warning, warning high, high alert, high caution, alarm limit, alarm level, alarm setpoint, alarm
        set point, slow down, slowdown, slow-down, shut down, shut-down, shutdown level, shutdown setpoint,
        low trip, high trip, trip level, trip setpoint, emergency shutdown, low shutdown, high shutdown, low
        critical, high critical, critical level
    unit: unit, unit of measure, uom
    when: when, condition, phase, configuration, regime, phase of flight, flight phase, operating condition,
        power setting, mode, setting, operation, arc, situation, at, rating, state, operating mode, colour,
        color, marking, flap
    for: for, duration, time limit, for how long, maximum duration, max duration, maximum time, max time
    below: if below, if low, below, below minimum, if too low, if below minimum, if below limit, when below
    above: if above, if high, above maximum, if too high, if above maximum, if above limit, when above
    action: if exceeded, exceedance, action, action if exceeded, crew action, on exceedance, if outside limit,
        when exceeded, corrective action
    """
)
