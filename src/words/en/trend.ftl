### A leg's numbers from visit to visit: on the screen of a record, and, in English, in data. Each message: where it stands,
### and how many letters it may have.

# A change of the index; direction, limit and intervals as chosen; what is unlike as below · 330
trend-change =
    The index { $direction ->
        [fell] fell by { $by }
        [rose] rose by { $by }
       *[same] is unchanged
    }, from { $was } to { $is }: { $beyond ->
        [yes] more
       *[no] not more
    } than the { $limit } that is called significant in follow-up (Giornale Italiano dell'Arteriosclerosi 2014, summary of AHA), and the two intervals of the measurement { $apart ->
        [yes] lie apart
       *[no] overlap
    }.{ $unlike }
# In place of a change, where method or position changed · 60
trend-no-change = No change is stated: { $was } then, { $is } now.{ $unlike }
# Behind a change: what is not as it was · 40
trend-unlike = {" "}Not like for like: { $list }.
# Within it · 30
trend-unlike-one =
    { $what ->
        [artery] artery
        [arm] arm
        [method] method
       *[posture] posture
    } { $before } then, { $now } now
# A change of the toe pressure · 120
trend-toe =
    The toe pressure went from { $was } to { $is } mmHg, and the two intervals of the measurement { $apart ->
        [yes] lie apart
       *[no] overlap
    }.{ $unlike }
# In place of a change, where the position changed · 110
trend-toe-no-change = No change of the toe pressure is stated: { $was } mmHg then ({ $before }), { $is } mmHg now ({ $now }).{ $unlike }
# Behind it, where another instrument was used · 110
trend-toe-unlike =
    {" "}Not like for like: { $before ->
        [entered] from another instrument
       *[ear] by ear and gauge
    } then, { $now ->
        [entered] from another instrument
       *[ear] by ear and gauge
    } now.
